import { z } from 'zod';
import { NotNegative, Positive, pure, Text, Unit, Warning } from './procedure.ts';

const Strategy = z.enum(['full', 'even', 'whole containers']);

export const TankState = z.strictObject({
	capacityL: Positive,
	minimumL: NotNegative.default(0).describe('least that may stand in the tank when a load is ready'),
	unsprayableL: NotNegative.default(0).describe('stays in sump and lines'),
	leftInTankL: NotNegative.default(0).describe('mix of this same recipe already in the tank'),
	leftIsSameMix: z.boolean().default(true).describe('false: another mix is in the tank, and the job is refused'),
});

/** Exactly one of the three doses; the core says which product lacks or doubles it. */
export const ProductToLoad = z.strictObject({
	name: Text,
	formulation: z.string().trim().min(1).max(12),
	unit: Unit,
	dosePerHa: z.number().nullable().default(null),
	dosePer100L: z.number().nullable().default(null).describe('L or kg per 100 L of mix'),
	dosePercent: z.number().nullable().default(null).describe('% v/v, products sold by the litre'),
	maxDosePerHa: Positive.nullable().default(null).describe('the label maximum'),
	packSizes: z.array(z.number().min(0.001)).max(20).default([]),
	openedPack: NotNegative.default(0).describe('what is left in a pack that is already open'),
	relativeDensity: Positive.nullable().default(null),
	displacementLPerKg: Positive.nullable().default(null).describe('solids: wins over the density'),
});

export const LoadsRequest = z.strictObject({
	areaHa: z.number(),
	sprayVolumeLPerHa: Positive,
	strategy: Strategy.optional().describe('left out: the one with the fewest measured pours'),
	tank: TankState,
	products: z.array(ProductToLoad).max(40).default([]),
	measureStep: z.number().min(0.000001).default(0.01).describe('smallest difference measured out, L or kg'),
});

const ProductInLoad = z.strictObject({
	name: z.string(),
	amount: z.number().describe('fromOpened + full packs + measured'),
	fromOpened: z.number().describe('empties a pack that was open before this load'),
	fullPacks: z.array(z.strictObject({ size: z.number(), count: z.int() })),
	measured: z.number().describe('to be measured out of a pack that is not emptied'),
});

export const Load = z.strictObject({
	areaHa: z.number().describe('ground this load sprays'),
	newMixL: z.number(),
	carriedInL: z.number(),
	totalL: z.number(),
	waterL: z.number(),
	displacementL: z.number(),
	products: z.array(ProductInLoad),
	containersToHandle: z.int(),
	measuredPours: z.int(),
});

export const LoadsPlan = z.strictObject({
	loads: z.array(Load),
	strategy: Strategy,
	alternatives: z.array(
		z.strictObject({
			strategy: Strategy,
			loads: z.int(),
			measuredPours: z.int(),
			containersOpened: z.int().describe('packs whose seal the job breaks'),
			lastLoadL: z.number(),
		}),
	),
	totals: z.strictObject({
		areaHa: z.number(),
		newMixL: z.number(),
		waterL: z.number(),
		displacementL: z.number(),
		products: z.array(z.strictObject({ name: z.string(), unit: Unit, dosePerHa: z.number(), amount: z.number() })),
		containersToHandle: z.int(),
		containersOpened: z.int(),
		measuredPours: z.int(),
	}),
	warnings: z.array(Warning),
});

export const loadsPlanContract = {
	plan: pure('Splits a job into loads: area, mix, water and products of each', LoadsRequest, LoadsPlan),
};
