import { z } from 'zod';
import { applicationKinds } from '../core/loads/application-kind.ts';
import { FillOutput } from './filling.ts';
import { PlannedIndoors, PlannedSpace } from './jobs-indoors.ts';
import { PlannedCarrier, Seed } from './jobs-kinds.ts';
import { JobPlan, PlannedLoad, PlannedProduct, SaidDose } from './jobs-plan.ts';
import { LimitFinding } from './limits.ts';
import { Id, LocalDate, Unit } from './procedure.ts';
import { NutrientDose } from './products.ts';

/** Everything one load card says, as data. */
export const LoadCard = z.strictObject({
	jobId: Id,
	job: z.string(),
	code: z.string().describe('finds this load again when typed in'),
	farm: z.string(),
	date: LocalDate,
	load: z.int(),
	loads: z.int(),
	kind: z.enum(applicationKinds),
	sprayer: z.string(),
	sprayVolumeLPerHa: z.number(),
	capacityL: z.number(),
	carrier: PlannedCarrier.nullable(),
	seed: Seed.nullable(),
	indoors: PlannedIndoors.extend({ spaces: z.array(PlannedSpace.extend({ place: z.string().nullable() })) })
		.nullable()
		.describe('the closed spaces that are treated, and where they stand'),
	keepOut: z.string().nullable().describe('when they may be entered again, as far as the labels on the books say'),
	operator: z.string().nullable(),
	nozzle: z.string().nullable(),
	pressureBar: z.number().nullable(),
	speedKmh: z.number().nullable(),
	boomHeightM: z.number().nullable(),
	bufferM: z.number().nullable(),
	plan: PlannedLoad,
	ends: z
		.strictObject({ field: z.string(), intoHa: z.number(), finishes: z.boolean() })
		.nullable()
		.describe('where this load ends: so far into its last field, from where that field was begun'),
	order: z.array(
		z.strictObject({
			step: z.int(),
			productId: Id,
			name: z.string(),
			formulation: z.string(),
			unit: Unit,
			dose: SaidDose,
			amount: z.number(),
			fullPacks: z.array(z.strictObject({ size: z.number(), count: z.int() })),
			fromOpened: z.number(),
			measured: z.number(),
			takes: PlannedProduct.shape.takes,
			why: z.string(),
			source: z.string(),
			protection: z.string().nullable(),
			cautions: z.string().nullable(),
			hazards: z.array(z.string()),
		}),
	),
	orderProblem: z.string().nullable().describe('why no order could be given'),
	fill: FillOutput.nullable(),
	fillProblem: z.string().nullable(),
	rinseRule: z.string(),
	startL: z.number(),
	pace: z
		.strictObject({
			inflowLPerMin: z.number(),
			inflowFills: z.int().describe('logged fills the figure rests on; 0: the sprayer’s settings'),
			secondsPerContainer: z.number(),
			paceFills: z.int(),
		})
		.describe('what the fill is worked out with'),
	limits: z.array(LimitFinding),
	toAnswer: JobPlan.shape.toAnswer,
	nutrients: z
		.array(NutrientDose)
		.optional()
		.describe('what the products of the job bring to a hectare; left out: none'),
	overrideWhy: z.string().nullable().describe('why the job goes on against its warnings'),
	cautions: z.array(z.string()),
});
export type LoadCard = z.infer<typeof LoadCard>;
