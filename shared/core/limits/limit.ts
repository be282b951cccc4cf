import { writtenFigure } from '../../basics/written-figure.ts';
import type { Dose, Hectares, LitresPerHectare, Metres, Quantity } from '../../units/quantity.ts';
import type { DoseUnit } from '../loads/dose-units.ts';
import type { Nutrient } from '../products/nutrient.ts';
import type { MarginKept, MarginKind } from './margin-kept.ts';

/** What a label limits. */
export const labelKinds = [
	'crop',
	'singleDose',
	'totalDose',
	'treatments',
	'interval',
	'stage',
	'timeOfDay',
	'flowering',
	'harvestInterval',
	'sprayVolume',
	'buffer',
	'site',
	'reentry',
	'livestock',
	'authorisation',
	'activeSubstance',
	'modeOfAction',
	'mixPartner',
	'followingCrop',
] as const;
/** Beside those, what a field is limited in whatever is put on it. */
export const limitKinds = [...labelKinds, 'nutrient'] as const;
export type LimitKind = (typeof limitKinds)[number];

/**
 * One limit as the label, or a rule, prints it. Which figures count depends on the kind:
 *
 *   crop             `crops` or `crop`: the crops allowed
 *   singleDose       `max`, `min`: product per ha and application; on seed to 100 kg or one unit of it; with `doseUnit` in
 *                    a closed space, in that unit
 *   totalDose        `max`: product per ha and period
 *   treatments       `max`: applications per period; with `substance` or `group`, of every product that carries it
 *   interval         `min` days between two applications; with `substance` or `group`, of every product that carries it
 *   stage            `min`, `max`: growth stage (BBCH); `from`, `to`: window of the year
 *   timeOfDay        `min`, `max`: local hours of the day (20.5 is 20:30) between which it may begin; over midnight where
 *                    `min` is the later
 *   flowering        not where crop or weeds are in flower; with `min`, `max`, where they are it may only begin between these
 *                    hours
 *   harvestInterval  `min` days from the application (day 0) to harvest
 *   sprayVolume      `min`, `max` L/ha
 *   buffer           `min` m to keep from the top of the bank of water, or from another `margin`; `reducible`: whether an
 *                    assessment on the spot may make it less
 *   site             `condition` of the ground on which it is not allowed, every year from `from` to `to` where they are given
 *   reentry          `min` h after the end of the application
 *   livestock        `min` days to keep animals off after the application (day 0)
 *   authorisation    `from`, `to`: dates between which the product may be used
 *   activeSubstance  `max` g/ha and period of `substance`, over all products that contain it
 *   modeOfAction     `max` applications per period with a product of `group`, over all products
 *   mixPartner       `partner` (product, substance or group) not in the same mix, nor, with `min`, within so many days
 *   followingCrop    `crops` that are to follow (none named: any) and the `min` days until they may be sown; without days
 *                    they may not be the next crop at all
 *   nutrient         `max` kg/ha and period of `nutrient`, over all products that contain it; of a field, never of a label
 *
 * Where a waiting time or distance is one figure, `max` is read like `min`. The period is `per` (crop where none is
 * given, for an active substance 12 months), or `from`–`to` every year. `crop` on any kind confines it to that crop.
 */
export type Limit = {
	readonly kind: LimitKind;
	readonly crop?: string | undefined;
	readonly crops?: readonly string[] | undefined;
	readonly min?: number | undefined;
	readonly max?: number | undefined;
	readonly per?: 'crop' | 'season' | '12 months' | 'calendar year' | 'years' | undefined;
	/** With `per: 'years'`: how many, rolling; with `from` as well, in fixed periods counted from that date. */
	readonly years?: number | undefined;
	readonly substance?: string | undefined;
	readonly group?: string | undefined;
	readonly partner?: string | undefined;
	readonly nutrient?: Nutrient | undefined;
	/** Of ground, in the words of the label: `drained land`, `slope over 2 % towards water`. */
	readonly condition?: string | undefined;
	/** Of a distance: what it protects; water where left out. */
	readonly margin?: MarginKind | undefined;
	/** Of a distance; left out: the label was not asked. */
	readonly reducible?: boolean | undefined;
	/** A single dose in a closed space: what it is given in. */
	readonly doseUnit?: DoseUnit | undefined;
	readonly from?: string | undefined;
	readonly to?: string | undefined;
	readonly source: string;
	/** Entered from memory: it may warn or ask, never block. */
	readonly fromMemory: boolean;
	/** Set to warn, never to block: a figure for the mean of many fields, or one to steer by. */
	readonly warnsOnly?: boolean | undefined;
};

/** One active substance in a dose; grams unknown where the content cannot be reckoned. */
export type ActiveDose = {
	readonly substance: string;
	readonly gPerHa: Quantity<'g/ha'> | null;
	readonly group: string | null;
};

/** One nutrient in a dose; unknown where the content cannot be reckoned. */
export type NutrientDose = { readonly nutrient: Nutrient; readonly kgPerHa: Quantity<'kg/ha'> | null };

export type AppliedProduct = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly dosePerHa: Dose;
	readonly actives: readonly ActiveDose[];
	/** Left out: it holds none. */
	readonly nutrients?: readonly NutrientDose[] | undefined;
};

/** The dose as the label of a seed treatment gives it: `L/100 kg`, `kg/unit`. */
export type SeedDose = { readonly amount: number; readonly unit: string };

export type PlannedProduct = AppliedProduct & {
	readonly limits: readonly Limit[];
	/** On seed: what its single dose is held against, in place of the dose on the ground it is sown on. */
	readonly seedDose?: SeedDose | undefined;
};

/** One product on the same field at another time, applied or planned. */
export type Treatment = AppliedProduct & {
	readonly recordId: string;
	/** What was sprayed in one go: the records of one job's loads share it and count as one application. */
	readonly application: string;
	readonly date: string;
	/** Does its treated ground overlap the ground now planned? Unknown where only areas are known: see `overlapByArea`. */
	readonly overlap: 'yes' | 'no' | 'unknown';
	readonly planned: boolean;
	/** Given at a reduced dose for a smaller distance to water: the local hour of its date at which it ended, 24 and more after midnight. */
	readonly shrunkUntil?: number | undefined;
	/** Washings over ground the same application had treated: their dose comes on top, they are no treatment more. */
	readonly onTop?: boolean | undefined;
};

/** The ground that is to be treated, and what grows on it. Null stands for "not known". */
export type Ground = {
	readonly fieldId: string;
	/** Every designation of the crop: EPPO code, name, group code. Empty where none is known. */
	readonly crop: readonly string[];
	readonly cropFrom: string | null;
	readonly cropTo: string | null;
	readonly season: { readonly from: string; readonly to: string };
	readonly growthStage: string | number | null;
	readonly harvestOn: string | null;
	/** The narrowest strip left unsprayed along a protected margin. */
	readonly bufferM: Metres | null;
	/** Its margins as they were assessed for the application. */
	readonly margins?: readonly MarginKept[] | undefined;
	/** Crops that are sown there after the date, the next first, as far as they are known. */
	readonly next?: readonly NextCrop[] | undefined;
	/** What was answered about it; a condition that is not named was not answered. */
	readonly conditions?: readonly GroundCondition[] | undefined;
};

/** A crop that is to be sown, or was sown, on ground that is treated before. */
export type NextCrop = {
	/** Every designation, the one to say last. */
	readonly names: readonly string[];
	readonly sownOn: string | null;
};

/** Whether a condition that labels name holds on the ground of a field. */
export type GroundCondition = { readonly condition: string; readonly holds: boolean };

/** One load as it began, or is to begin. */
export type Begun = {
	/** Local time in hours. */
	readonly hour: number;
	/** What was in flower, in words; left out or null: nobody said. */
	readonly inFlower?: string | null | undefined;
};

export type PlannedApplication = {
	readonly ground: Ground;
	readonly date: string;
	/** How it began, load by load; left out: it did not begin yet. */
	readonly begun?: readonly Begun[] | undefined;
	readonly sprayVolumeLPerHa: LitresPerHectare | null;
	readonly products: readonly PlannedProduct[];
	/** Every other treatment of the field, in both directions of time, planned ones included. */
	readonly history: readonly Treatment[];
	/** Rules that belong to no single label, on active substances and modes of action. */
	readonly rules: readonly Limit[];
};

export type Verdict = 'ok' | 'block' | 'warn' | 'ask' | 'unknown';

export type Finding = {
	readonly fieldId: string;
	readonly productId?: string;
	readonly kind: LimitKind;
	readonly verdict: Verdict;
	readonly limit: number | string | null;
	readonly value: number | string | null;
	readonly unit: string | null;
	readonly records: string[];
	readonly source: string;
	readonly say: string;
};

/** What one limit comes to, before it is written up as a finding. */
export type Outcome = Pick<Finding, 'verdict' | 'limit' | 'value' | 'unit' | 'say'> & {
	readonly records?: readonly string[];
};

/**
 * Waiting times that begin with the treatment. They are told with every job, and kept by the people there: nothing is
 * exceeded or near, so a job goes on against none of them and no reason is asked for. The wait before the next crop is one
 * as long as no crop is known that comes too early.
 */
export function isKeptAfterwards({
	kind,
	value,
}: {
	readonly kind: string;
	readonly value: Finding['value'];
}): boolean {
	return kind === 'reentry' || kind === 'livestock' || (kind === 'followingCrop' && value === null);
}

/** What is checked at once: one product of the mix, or, for a rule, none in particular. */
export type Check = {
	readonly limit: Limit;
	readonly application: PlannedApplication;
	readonly product: PlannedProduct | null;
};

/** Sums of doses may exceed a limit by the last digits of a double. */
export function exceeds(value: number, limit: number): boolean {
	return value > limit + Math.abs(limit) * 1e-9;
}

/** Names and codes are compared whatever their case. */
export function sameName(a: string, b: string): boolean {
	return a === b || a.trim().toLowerCase() === b.trim().toLowerCase();
}

/** A limit for one crop says nothing of another; where the crop is not known it speaks. */
export function speaksOfCrop({ crop: only }: Pick<Limit, 'crop'>, names: readonly string[]): boolean {
	return only === undefined || names.length === 0 || names.some((name) => sameName(name, only));
}

/** A figure for a sentence: at most three decimals. */
export function figure(value: number): string {
	return writtenFigure(value, 3);
}

/** A limit that lacks the figure it needs says nothing. */
export function incomplete(limit: Limit, missing: string): Outcome {
	const say = `The ${limit.kind} limit on the books lacks its ${missing}.`;
	return { verdict: 'unknown', limit: null, value: null, unit: null, say };
}

/**
 * Do two treated parts of one field overlap? Where their areas together are more than the field, some ground had both;
 * else areas alone cannot tell.
 */
export function overlapByArea(area: {
	readonly fieldHa: Hectares;
	readonly firstHa: Hectares;
	readonly secondHa: Hectares;
}) {
	return exceeds(area.firstHa + area.secondHa, area.fieldHa) ? ('yes' as const) : ('unknown' as const);
}
