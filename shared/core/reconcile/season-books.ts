import type { Hectares, Instant, Litres, LitresPerHectare, ProductAmount } from '../../units/quantity.ts';

/** What the books say about one season: what `reconcileSeason` compares. Amounts are L or kg, `at` orders within a day. */
export type SeasonBooks = {
	readonly from: string;
	readonly to: string;
	readonly products: readonly SeasonProduct[];
	/** Logged loads and planned ones, from the first count used to the last; the tank measure takes those of the period. */
	readonly loads: readonly SeasonLoad[];
	/** Jobs of the period with a tank and anything logged. */
	readonly jobs: readonly SeasonJob[];
	/** What differs from `USUAL_NOISE`. */
	readonly noise?: Partial<Noise>;
};

export type SeasonProduct = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly packSizes: readonly ProductAmount[];
	readonly measureStep: ProductAmount;
	/** Σ dose × treated area over the records of the period. */
	readonly ground: ProductAmount;
	/** Standard error of the ground measure; left out: from the register areas. */
	readonly groundSigma?: ProductAmount;
	/**
	 * Counts in the store. The store measure needs two; a book that began empty in the period begins with a count of 0.
	 * Each pair of neighbours is compared by itself, so a count between two others shows which of them is wrong.
	 */
	readonly counts: readonly ProductCount[];
	/** All that entered (+) or left (−) the store from the first count to the last, but for loads and count adjustments. */
	readonly bookings: readonly Booking[];
};

export type ProductCount = {
	readonly at: Instant;
	readonly date: string;
	readonly amount: ProductAmount;
	/** Containers whose content was judged by eye or dip; whole packs count exactly. */
	readonly openedContainers: number;
};

export type Booking = {
	readonly at: Instant;
	readonly date: string;
	readonly kind: string;
	readonly amount: ProductAmount;
	readonly packSize: ProductAmount | null;
	readonly document: string | null;
};

export type SeasonLoad = {
	readonly loadId: string;
	readonly jobId: string;
	readonly load: number;
	readonly at: Instant;
	readonly date: string;
	/** 0: no tank was filled for it. */
	readonly newMixL: Litres;
	/** False: planned, never logged. */
	readonly logged: boolean;
	readonly products: readonly LoadProduct[];
};

export type LoadProduct = {
	readonly productId: string;
	readonly planned: ProductAmount;
	/** What the log says went into the tank; 0 for a load that is not logged. */
	readonly poured: ProductAmount;
	/** The part of it that was measured out, not poured as whole packs. */
	readonly measured: ProductAmount;
	readonly wholePacks: number;
	/** False: the planned amount stands, nobody entered what was poured. */
	readonly confirmed: boolean;
};

export type SeasonJob = {
	readonly jobId: string;
	readonly name: string;
	readonly date: string;
	readonly sprayerId: string;
	readonly sprayer: string;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	/** Register area of the ground this job was to cover with what was logged. */
	readonly areaLoadedForHa: Hectares;
	readonly fields: readonly JobField[];
	/** Sprayed area by the sprayer's own counter or receiver; null: not reported. */
	readonly counterHa: Hectares | null;
	readonly controllerL: Litres | null;
	readonly leftL: Litres | null;
	/** Hectares still to go when the mix ran out. */
	readonly ranOutHa: Hectares | null;
	readonly carriedInL: Litres;
	/** New mix of all logged loads, by the inlet meter where it was read. */
	readonly mixedL: Litres;
	readonly rinseL: Litres;
	readonly unsprayableL: Litres;
	readonly spilledL: Litres;
};

export type JobField = {
	readonly fieldId: string;
	readonly name: string;
	readonly areaHa: Hectares;
	/** Standard error of the register area; null: the usual one. */
	readonly areaSigmaHa: Hectares | null;
};

/**
 * How well a sound farm measures, as standard errors; relative unless the name says otherwise. `…Bias` is what one
 * instrument in good order may be off in every job alike; the others are new in every job, fill or pour.
 * Common practice, from memory: flow meters in good order within 1–2 %, area counters within 1–2 %, measuring jugs
 * within 2 %, opened containers judged by eye within a twentieth of their size.
 */
export type Noise = {
	readonly registerRelative: number;
	readonly counterRelative: number;
	readonly counterBias: number;
	readonly meterRelative: number;
	readonly meterBias: number;
	readonly rateRelative: number;
	readonly rateBias: number;
	readonly leftRelative: number;
	readonly leftL: Litres;
	readonly pourRelative: number;
	readonly pourBias: number;
	readonly countPart: number;
};

export const USUAL_NOISE: Noise = {
	registerRelative: 0.005,
	counterRelative: 0.01,
	counterBias: 0.005,
	meterRelative: 0.02,
	meterBias: 0.005,
	rateRelative: 0.01,
	rateBias: 0.01,
	leftRelative: 0.1,
	leftL: 5,
	pourRelative: 0.02,
	pourBias: 0.01,
	countPart: 0.05,
};
