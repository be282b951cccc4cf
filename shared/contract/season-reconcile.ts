import { z } from 'zod';
import { Id, LocalDate, query, Unit } from './procedure.ts';

const amount = z.number().describe('L or kg, by the unit beside it');

const SuspectedCause = z.strictObject({
	cause: z.enum([
		'wrong count',
		'delivery not booked',
		'delivery booked, not received',
		'loss not booked',
		'measuring',
		'products mixed up',
		'load not logged',
		'load logged, not sprayed',
		'several loads not logged',
		'register area',
		'area counter',
		'inlet meter',
		'controller litres',
		'rate',
		'one report',
	]),
	share: z.number().min(0).max(1).describe('weight of the evidence among the causes of this finding'),
	size: z.number(),
	unit: Unit,
	percent: z.number().nullable(),
	amounts: z.array(z.strictObject({ productId: Id, amount, unit: Unit })),
	jobIds: z.array(Id),
	fieldIds: z.array(Id),
	sprayerIds: z.array(Id),
	evidence: z.string(),
	checkNext: z.string(),
});

export const SeasonFinding = z.strictObject({
	causes: z.array(SuspectedCause).describe('what the data cannot tell apart, most likely first'),
	accuses: z.boolean().describe('false: too little was reported to tell the causes apart, so none is accused'),
	size: z.number(),
	unit: Unit,
	productIds: z.array(Id),
	aboveNoise: z.number().describe('size in standard errors of measuring'),
	evidence: z.string(),
	checkNext: z.string(),
});
export type SeasonFinding = z.infer<typeof SeasonFinding>;

const ProductBalance = z.strictObject({
	productId: Id,
	name: z.string(),
	unit: Unit,
	ground: amount.describe('Σ dose × treated area'),
	tank: amount.describe('Σ poured in logged loads'),
	store: amount.nullable().describe('what left the store between the first count and the last; null without two'),
	tankBetweenCounts: amount.nullable().describe('Σ poured between the same counts'),
	counted: z.boolean(),
	groundSigma: amount,
	tankSigma: amount,
	storeSigma: amount.nullable(),
	tankToGround: z.number().nullable(),
	storeToTank: z.number().nullable(),
	sigma: z.number().nullable().describe('relative standard error of storeToTank'),
	ownStoreToTank: z.number().nullable().describe('storeToTank with what all products share taken out'),
	residual: amount.nullable().describe('store − tank between the counts'),
	residualSigma: amount.nullable(),
	measuredPours: z.int(),
	confirmedLoads: z.int(),
	loads: z.int(),
	say: z.string(),
});

const JobBalance = z.strictObject({
	jobId: Id,
	sprayedL: z.number(),
	areaRatio: z.number().optional().describe('counter area ÷ area loaded for'),
	meterRatio: z.number().optional().describe('metered ÷ controller litres'),
	rateRatio: z.number().optional().describe('controller litres ÷ area ÷ spray volume'),
	volumeRatio: z.number().optional().describe('metered litres ÷ area loaded for ÷ spray volume'),
	expectedLeft: z.strictObject({ low: z.number(), high: z.number() }),
	mayRunOutHa: z.number(),
	say: z.string(),
});

export const SeasonReconciliation = z.strictObject({
	say: z.string(),
	farm: z.strictObject({
		storeToTank: z.number().nullable(),
		storeToTankSigma: z.number().nullable(),
		tankToGround: z.number().nullable(),
		tankToGroundSigma: z.number().nullable(),
		productsCounted: z.int(),
		confirmedLoads: z.int(),
		loads: z.int(),
	}),
	products: z.array(ProductBalance),
	jobs: z.array(JobBalance),
	findings: z.array(SeasonFinding),
});
export type SeasonReconciliation = z.infer<typeof SeasonReconciliation>;

export const seasonReconcileContract = {
	reconcile: query(
		'Compares ground, tank and store, and names the causes that can explain what differs',
		z.strictObject({ from: LocalDate, to: LocalDate }),
		SeasonReconciliation,
	),
};
