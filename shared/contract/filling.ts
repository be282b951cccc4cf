import { z } from 'zod';
import { mixCarriers } from '../core/filling/carrier-ranking.ts';
import { handlingMethods } from '../core/filling/handling.ts';
import { mixKinds } from '../core/filling/mix-ranking.ts';
import { NotNegative, Positive, pure, Text, Unit, Warning } from './procedure.ts';

const Names = z.union([Text, z.array(Text).max(60)]);
const Coding = z.enum(['international', 'north american']).describe('which system the letters ME, SC and DS belong to');

export const MixOrderInput = z.strictObject({
	products: z
		.array(
			z.strictObject({
				name: Text,
				formulation: z.string().trim().max(20).optional(),
				kind: z.enum(mixKinds).optional(),
				waterSolubleBag: z.boolean().optional(),
				after: Names.optional().describe('label instruction: partners that go in before this one'),
				before: Names.optional().describe('label instruction: partners that go in after this one'),
				coding: Coding.optional(),
			}),
		)
		.max(60),
	coding: Coding.optional(),
	carrier: z.enum(mixCarriers).optional().describe('what fills the tank; left out: water'),
});

export const MixOrderOutput = z.array(
	z.strictObject({
		name: z.string(),
		step: z.number().int(),
		group: z.string(),
		why: z.string(),
		source: z.string(),
		waitAfterS: z.number(),
	}),
);

const Seconds = NotNegative.max(86_400);
const handlingParts = {
	preSlurryS: Seconds,
	openAndPourS: Seconds,
	rinsesS: z.array(Seconds).max(10),
	drainS: Seconds,
	rinseLPerMin: NotNegative,
	rinseFrom: z.enum(['inlet', 'clean tank']),
};

/** Times: an assumption to be replaced by the farm's own. Three rinses are common practice; the first seconds of each fill the can. */
const Handling = z.strictObject({
	preSlurryS: handlingParts.preSlurryS.default(0),
	openAndPourS: handlingParts.openAndPourS.default(18),
	rinsesS: handlingParts.rinsesS.default([10, 10, 10]),
	drainS: handlingParts.drainS.default(0).describe('0 where a rack lets it drain during the next pour'),
	rinseLPerMin: handlingParts.rinseLPerMin.default(10),
	rinseFrom: handlingParts.rinseFrom.default('inlet'),
	waitAfterS: z
		.union([Seconds, z.record(z.string(), Seconds)])
		.default(0)
		.describe('time to disperse, for all or by product'),
});

export const FillInput = z.strictObject({
	totalL: Positive.describe('what stands in the tank when the load is ready'),
	waterL: NotNegative.describe('all water of the load, rinse water included'),
	carriedInL: NotNegative.default(0),
	inflowLPerMin: Positive,
	startL: NotNegative.describe('tank level at which the first container is opened'),
	containers: z
		.array(
			z.strictObject({
				product: Text,
				size: Positive,
				unit: Unit,
				volumeL: NotNegative.describe('litres its content takes up in the tank'),
				method: z.enum(handlingMethods).optional(),
				handling: z.strictObject(handlingParts).partial().optional(),
			}),
		)
		.max(2000),
	handling: Handling.prefault({}),
	closeReserveL: NotNegative.default(100).describe('the last litres, for closing down: every container is done before'),
	valveRunOnL: NotNegative.default(0),
	leastWaterL: NotNegative.default(0).describe('least tank content in which the labels let the products stand'),
});

export const FillOutput = z.strictObject({
	fits: z.boolean(),
	containersThatFit: z.number().int(),
	fitsWithPause: z.boolean(),
	pauseAtL: z.number().nullable(),
	pausedS: z.number(),
	meterStops: z.array(z.strictObject({ atMeterL: z.number().int(), tankL: z.number().int(), why: z.string() })),
	finishS: z.number(),
	events: z.array(
		z.strictObject({
			atS: z.number(),
			what: z.string(),
			product: z.string().optional(),
			container: z.number().int().optional(),
			tankL: z.number(),
		}),
	),
	warnings: z.array(Warning),
});

export type MixOrderInput = z.infer<typeof MixOrderInput>;
export type FillInput = z.infer<typeof FillInput>;

export const fillingContract = {
	fill: pure('Whether every container goes in while the tank fills, and where to stop if not', FillInput, FillOutput),
	mixOrder: pure('The order in which the products of a mix go into the tank, and why', MixOrderInput, MixOrderOutput),
};
