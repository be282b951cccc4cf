import type { Hectares, Litres, ProductAmount } from '../../units/quantity.ts';

/** What can make ground, tank and store disagree. */
export type Cause =
	| 'wrong count'
	| 'delivery not booked'
	| 'delivery booked, not received'
	| 'loss not booked'
	| 'measuring'
	| 'products mixed up'
	| 'load not logged'
	| 'load logged, not sprayed'
	| 'several loads not logged'
	| 'register area'
	| 'area counter'
	| 'inlet meter'
	| 'controller litres'
	| 'rate'
	| 'one report';

/** One cause that the data cannot rule out. */
export type SuspectedCause = {
	readonly cause: Cause;
	/** How much of the weight of the evidence lies with it, among the causes of its finding, 0–1. */
	readonly share: number;
	/** An amount of one product, else litres of mix; never below zero. */
	readonly size: number;
	readonly unit: 'L' | 'kg';
	/**
	 * The size as a share of what it is measured against; null where that says nothing. Above zero: more left the store,
	 * was measured out, covered, metered or put on than the other figure says.
	 */
	readonly percent: number | null;
	/** Store − tank of each product that it explains. */
	readonly amounts: readonly {
		readonly productId: string;
		readonly amount: ProductAmount;
		readonly unit: 'L' | 'kg';
	}[];
	readonly jobIds: readonly string[];
	readonly fieldIds: readonly string[];
	readonly sprayerIds: readonly string[];
	readonly evidence: string;
	readonly checkNext: string;
};

/** One disagreement, and every cause that explains it as well as the data can tell. The first is the most likely. */
export type Finding = {
	readonly causes: readonly SuspectedCause[];
	/** False: the figures needed to tell the causes apart were not reported, so none of them is accused. */
	readonly accuses: boolean;
	readonly size: number;
	readonly unit: 'L' | 'kg';
	readonly productIds: readonly string[];
	/** Size in standard errors of measuring. */
	readonly aboveNoise: number;
	readonly evidence: string;
	readonly checkNext: string;
};

export type ProductBalance = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	/** Σ dose × treated area. */
	readonly ground: ProductAmount;
	/** Σ poured in logged loads. */
	readonly tank: ProductAmount;
	/** What left the store between the first count and the last; null without two counts. */
	readonly store: ProductAmount | null;
	/** Σ poured in logged loads between the same two counts: what the store is compared with. */
	readonly tankBetweenCounts: ProductAmount | null;
	readonly counted: boolean;
	readonly groundSigma: ProductAmount;
	readonly tankSigma: ProductAmount;
	readonly storeSigma: ProductAmount | null;
	readonly tankToGround: number | null;
	readonly storeToTank: number | null;
	/** Standard error of store ÷ tank, relative; null without two counts. */
	readonly sigma: number | null;
	/** store ÷ tank with what all products share taken out. */
	readonly ownStoreToTank: number | null;
	readonly residual: ProductAmount | null;
	readonly residualSigma: ProductAmount | null;
	readonly measuredPours: number;
	/** Loads where somebody entered what was poured, and all loads; the others prove nothing. */
	readonly confirmedLoads: number;
	readonly loads: number;
	/** One sentence. */
	readonly say: string;
};

export type JobBalance = {
	readonly jobId: string;
	readonly sprayedL: Litres;
	/** Counter area with what was still to go ÷ area loaded for. */
	readonly areaRatio?: number;
	/** Litres sprayed by the inlet meter ÷ controller litres. */
	readonly meterRatio?: number;
	/** Controller litres ÷ area ÷ spray volume. */
	readonly rateRatio?: number;
	/** Litres sprayed by the inlet meter ÷ area loaded for ÷ spray volume: the product of all three. */
	readonly volumeRatio?: number;
	/** Mix left after the last load when everything is sound, two standard errors either side. */
	readonly expectedLeft: { readonly low: Litres; readonly high: Litres };
	/** Hectares that may lie unsprayed when everything is sound. */
	readonly mayRunOutHa: Hectares;
	readonly say: string;
};

export type FarmBalance = {
	readonly storeToTank: number | null;
	readonly storeToTankSigma: number | null;
	readonly tankToGround: number | null;
	readonly tankToGroundSigma: number | null;
	readonly productsCounted: number;
	readonly confirmedLoads: number;
	readonly loads: number;
};

export type SeasonReconciliation = {
	readonly say: string;
	readonly farm: FarmBalance;
	readonly products: readonly ProductBalance[];
	readonly jobs: readonly JobBalance[];
	readonly findings: readonly Finding[];
};
