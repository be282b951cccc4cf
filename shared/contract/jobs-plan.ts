import { z } from 'zod';
import { spaceUnits } from '../core/loads/closed-space.ts';
import { doseUnits } from '../core/loads/dose-units.ts';
import { EndOfJob } from './jobs-end.ts';
import { PlannedCarrier } from './jobs-kinds.ts';
import { LimitFinding } from './limits.ts';
import { Id, Positive, Unit, Warning } from './procedure.ts';
import { NutrientDose } from './products.ts';
import { Deviation } from './recommendations.ts';
import { InStore } from './store-list.ts';

export const DoseUnit = z.enum(doseUnits);
export const SaidDose = z.strictObject({ value: z.number(), unit: DoseUnit });
export type SaidDose = z.infer<typeof SaidDose>;

/** A product with exactly one dose; a planned dose may also be in the mix, for wetters and conditioners. */
export const Dosed = z.strictObject({
	productId: Id,
	dosePerHa: Positive.optional().describe('L or kg per ha'),
	dosePer100L: Positive.optional().describe('L or kg per 100 L of mix'),
	dosePercent: Positive.max(100).optional().describe('% v/v of the mix'),
	dosePer100Kg: Positive.optional().describe('L or kg to 100 kg of seed or stored crop'),
	dosePerUnit: Positive.optional().describe('L or kg to one unit of seed'),
	dosePerM3: Positive.optional().describe('L or kg in 1 m³ of a closed space'),
	dosePerM2: Positive.optional().describe('L or kg on 1 m² in a closed space'),
	doseUnit: DoseUnit.optional().describe('how the dose is shown; left out: per ha, per 100 L or %'),
});
export type Dosed = z.infer<typeof Dosed>;

export const Strategy = z.enum(['full', 'even', 'whole containers']);
export type Strategy = z.infer<typeof Strategy>;

export const PlannedProduct = z.strictObject({
	productId: Id,
	name: z.string(),
	formulation: z.string(),
	unit: Unit,
	amount: z.number(),
	fromOpened: z.number(),
	fullPacks: z.array(z.strictObject({ size: z.number(), count: z.int() })),
	measured: z.number(),
	takes: z
		.array(
			z.strictObject({
				what: z.enum(['opened', 'full', 'measured', 'not in the store']),
				count: z.int(),
				size: z.number().describe('of one container; of an opened one what was left in it'),
				amount: z.number(),
				batch: z.string().nullable(),
				expires: z.string().nullable(),
				lotId: Id.optional().describe('the line of the shelf: packs of one size, batch and expiry'),
				containerId: Id.optional().describe('the opened container, where it was open when the job was planned'),
				begun: z.boolean().optional().describe('opened before this load: on the shelf already, or by an earlier load'),
			}),
		)
		.optional()
		.describe('from which line of the shelf each container is taken: opened first, then what expires first'),
});

export type PlannedProduct = z.infer<typeof PlannedProduct>;

export const PlannedLoad = z.strictObject({
	load: z.int(),
	areaHa: z.number(),
	newMixL: z.number(),
	carriedInL: z.number(),
	totalL: z.number(),
	waterL: z.number(),
	displacementL: z.number(),
	products: z.array(PlannedProduct),
	containersToHandle: z.int(),
	measuredPours: z.int(),
	carrierL: z.number().optional().describe('liquid fertiliser to meter'),
	hopperKg: z.number().optional().describe('granules in the hopper when the fill is ready; there is no mix'),
	inHopperKg: z.number().optional().describe('of them what was left in it before'),
	seed: z.number().optional().describe('seed of this batch, kg or units; there is no mix'),
	slurryL: z.number().optional().describe('onto the seed of this batch in all: the products and the water of waterL'),
	space: z.number().optional().describe('of the closed spaces that are treated, in all'),
	spaceUnit: z.enum(spaceUnits).optional().describe('in this unit'),
	spaces: z
		.array(
			z.strictObject({
				spaceId: Id,
				name: z.string(),
				amount: z.number(),
				mixL: z.number().optional().describe('its part of the mix'),
				fills: z
					.strictObject({
						begun: z
							.strictObject({ fill: z.int(), endsAfter: z.number() })
							.nullable()
							.describe('a fill begun in a space before that ends in this one, after how much of it'),
						doneWith: z.int().describe('the fill it is done with'),
						leftL: z.number().describe('left of that fill then, for the next space'),
					})
					.optional()
					.describe('where the fills of the applicator’s own tank end'),
			}),
		)
		.optional()
		.describe('the closed spaces in the order they are treated'),
	fills: z
		.array(
			z.strictObject({
				count: z.int().describe('fills that are alike'),
				mixL: z.number(),
				waterL: z.number(),
				amounts: z.array(z.number()).describe('of each product of the load, in their order'),
			}),
		)
		.optional()
		.describe('in a closed space: the mix as fills of the applicator’s own tank, where that holds only part of it'),
	ground: z
		.array(z.strictObject({ fieldId: Id, field: z.string(), areaHa: z.number(), finishesField: z.boolean() }))
		.describe('where this load goes, in field order'),
});
export type PlannedLoad = z.infer<typeof PlannedLoad>;

export const Alternative = z.strictObject({
	strategy: Strategy,
	loads: z.int(),
	measuredPours: z.int(),
	containersOpened: z.int(),
	lastLoadL: z.number(),
	last: z.number().optional().describe('without a mix: kg in the last hopper, seed of the last batch'),
});
export type Alternative = z.infer<typeof Alternative>;

export const JobPlan = z.strictObject({
	loads: z.array(PlannedLoad),
	strategy: Strategy,
	alternatives: z.array(Alternative),
	totals: z.strictObject({
		areaHa: z.number(),
		mixL: z.number(),
		waterL: z.number(),
		nutrients: z.array(NutrientDose).optional().describe('what its products bring together; left out: none'),
		products: z.array(
			z.strictObject({
				productId: Id,
				name: z.string(),
				unit: Unit,
				dosePerHa: z.number().optional(),
				amount: z.number(),
				inStore: z.number(),
				short: z.number(),
				elsewhere: z
					.array(InStore)
					.optional()
					.describe('other stores that hold some, where the one of the job lacks it'),
			}),
		),
	}),
	carrier: PlannedCarrier.optional(),
	warnings: z.array(Warning),
	limits: z.array(LimitFinding),
	toAnswer: z
		.array(z.strictObject({ from: z.enum(['limit', 'planning']), say: z.string() }))
		.describe('warnings against which the job goes on only for a reason'),
	startsAt: z.int().describe('first load of the plan in force: those before it were logged and stay'),
	carried: z
		.array(z.strictObject({ from: z.int(), into: z.int() }))
		.describe('loads that were broken off and whose mix went into a later one'),
	end: EndOfJob.nullable().describe('null where nothing is to be made up'),
	deviations: z.array(Deviation).optional().describe('where it departs from its recommendation'),
});
export type JobPlan = z.infer<typeof JobPlan>;
