import { daysBetween, writtenDate } from '../../basics/calendar.ts';
import type { Quantity } from '../../units/quantity.ts';
import { type Nutrient, nutrientNames } from '../products/nutrient.ts';
import {
	type AppliedProduct,
	type Check,
	exceeds,
	figure,
	incomplete,
	type Outcome,
	sameName,
	type Treatment,
} from './limit.ts';
import { type Period, periodsOf } from './period.ts';

/** Everything sprayed in one go. */
type Application = {
	readonly date: string;
	readonly overlap: Treatment['overlap'];
	readonly planned: boolean;
	readonly records: readonly string[];
	readonly adds: number | null;
};

/** What a limit adds up, in which unit; the name of the figure it lacks where it cannot. */
type Sum = {
	/** What one product of an application adds: 0 where it is not concerned, null where it cannot be reckoned. */
	readonly adds: (applied: AppliedProduct) => number | null;
	/** An application counts once, however many of its products are concerned. */
	readonly once: boolean;
	readonly unit: string;
	readonly what: string;
};

/** Limits that add up several treatments. */
export const sumKinds = ['totalDose', 'treatments', 'activeSubstance', 'modeOfAction', 'nutrient'] as const;
type SumKind = (typeof sumKinds)[number];

const sums: Readonly<Record<SumKind, (check: Check) => Sum | string>> = {
	totalDose: ({ product }) => {
		if (product === null) return 'product';
		const { productId, unit } = product;
		const adds = (applied: AppliedProduct) => (applied.productId === productId ? applied.dosePerHa : 0);
		return { adds, once: false, unit: `${unit}/ha`, what: 'total dose' };
	},
	treatments: (check) => {
		const adds = (applied: AppliedProduct) => (concerns(check, applied) ? 1 : 0);
		return { adds, once: true, unit: 'treatments', what: 'number of treatments' };
	},
	activeSubstance: (check) => {
		const substance = check.limit.substance ?? only(check.product?.actives.map((active) => active.substance));
		if (substance === undefined) return 'substance';
		const adds = ({ actives }: AppliedProduct) => {
			let grams: number | null = 0;
			for (const active of actives) {
				if (sameName(active.substance, substance)) grams = plus(grams, active.gPerHa);
			}
			return grams;
		};
		return { adds, once: false, unit: 'g/ha', what: substance };
	},
	modeOfAction: (check) => {
		const group = check.limit.group ?? only(check.product?.actives.flatMap((active) => active.group ?? []));
		if (group === undefined) return 'group';
		const adds = (applied: AppliedProduct) => (hasGroup(applied, group) ? 1 : 0);
		return { adds, once: true, unit: 'treatments', what: `number of treatments with group ${group}` };
	},
	nutrient: ({ limit: { nutrient } }) => {
		if (nutrient === undefined) return 'nutrient';
		return nutrientSum(nutrient);
	},
};

function nutrientSum(nutrient: Nutrient): Sum {
	const adds = (applied: AppliedProduct) => kgOf(nutrient, applied);
	return { adds, once: false, unit: `kg ${nutrient}/ha`, what: nutrientNames[nutrient] };
}

/** What a product adds of a nutrient; null where its content is not known. */
function kgOf(nutrient: Nutrient, { nutrients = [] }: AppliedProduct): number | null {
	const dose = nutrients.find((one) => one.nutrient === nutrient);
	return dose === undefined ? 0 : dose.kgPerHa;
}

function summedBy(kind: SumKind, check: Check): Outcome {
	const sum = sums[kind](check);
	return typeof sum === 'string' ? incomplete(check.limit, sum) : summed(check, sum);
}

/**
 * Total dose of a product over its period, on the treated ground.
 *
 *   Σ dose [L/ha or kg/ha] over all applications of the period, this one included,  ≤ maximum
 */
export function totalDose(check: Check): Outcome {
	return summedBy('totalDose', check);
}

/** Applications of the product, or of every product with the substance or group named, in the period; a split dose counts each time. */
export function treatments(check: Check): Outcome {
	return summedBy('treatments', check);
}

/**
 * Grams of an active substance over the period, over all products that contain it.
 *
 *   Σ dose × content [g/ha]  ≤ maximum
 */
export function activeSubstance(check: Check): Outcome {
	return summedBy('activeSubstance', check);
}

/** Applications with any product of the mode-of-action group in the period; two products of the group in one mix count once. */
export function modeOfAction(check: Check): Outcome {
	return summedBy('modeOfAction', check);
}

/**
 * Kilograms of a nutrient over the period, over all products that contain it.
 *
 *   Σ dose × content [kg/ha]  ≤ maximum
 */
export function nutrient(check: Check): Outcome {
	return summedBy('nutrient', check);
}

/** How much of a limit is used before anything more is sprayed. */
export type UsedSoFar = {
	readonly what: string;
	readonly per: string;
	/** First day of the period that counts. */
	readonly since: string;
	readonly used: number;
	readonly max: number;
	readonly unit: string;
	readonly records: readonly string[];
};

/**
 * What the treatments on the books come to under one limit that adds them up, on the day of the application; the
 * application itself is not counted. Of several periods the day falls into, the fullest. Null where the limit adds
 * nothing up, lacks a figure, does not apply on that day, or a product's content is not known.
 */
export function usedSoFar(check: Check): UsedSoFar | null {
	const { limit, application } = check;
	const kind = sumKinds.find((name) => name === limit.kind);
	const sum = kind && sums[kind](check);
	if (!sum || typeof sum === 'string' || limit.max === undefined) return null;
	const others = applicationsOf(application.history, sum);
	const treated = others.map(({ date }) => date);
	const { name, periods } = periodsOf(limit, { date: application.date, ground: application.ground, treated });
	const totals = periods.map((period) => ({ period, ...totalIn(period, others, 0) }));
	const [fullest] = totals.toSorted((a, b) => b.possibly - a.possibly);
	if (!fullest || fullest.unknown) return null;
	const { possibly: used, records, period } = fullest;
	return { what: sum.what, per: name, since: period.from, used, max: limit.max, unit: sum.unit, records };
}

/**
 * Kilograms per hectare of a nutrient that the treatments of a period put where most of them fell together; null where the
 * content of one is not known.
 */
export function nutrientOver(
	nutrient: Nutrient,
	history: readonly Treatment[],
	period: Period,
): Quantity<'kg/ha'> | null {
	const { possibly, unknown } = totalIn(period, applicationsOf(history, nutrientSum(nutrient)), 0);
	return unknown ? null : possibly;
}

/** A limit on doses for more of the same mix: what is there already, and what the washings hold. */
export type DoseSum = { readonly already: number; readonly washed: number; readonly max: number };

/**
 * What a limit on doses comes to with this application, and what washings would add to it as the dose on one hectare.
 * Null where it limits no dose, lacks its figure or does not apply on that day.
 */
export function doseSum(check: Check, washings: readonly AppliedProduct[]): DoseSum | 'unknown' | null {
	const { limit, application, product } = check;
	const { kind, max } = limit;
	if (max === undefined || (product === null && kind !== 'nutrient')) return null;
	if (kind === 'singleDose') {
		const dose = (products: readonly AppliedProduct[]) =>
			products.reduce((sum, one) => sum + (one.productId === product?.productId ? one.dosePerHa : 0), 0);
		return { already: dose(application.products), washed: dose(washings), max };
	}
	if (kind !== 'totalDose' && kind !== 'activeSubstance' && kind !== 'nutrient') return null;
	const sum = sums[kind](check);
	if (typeof sum === 'string') return null;
	const others = applicationsOf(application.history, sum);
	const treated = others.map(({ date }) => date);
	const { periods } = periodsOf(limit, { date: application.date, ground: application.ground, treated });
	if (periods.length === 0) return null;
	const totals = periods.map((period) => totalIn(period, others, addedBy(application.products, sum)));
	const washed = addedBy(washings, sum);
	if (washed === null || totals.some(({ unknown }) => unknown)) return 'unknown';
	return { already: Math.max(...totals.map(({ possibly }) => possibly)), washed, max };
}

/** Is the limit about this product: by its substance or group where it names one, else by the product itself? */
export function concerns({ limit, product }: Check, applied: AppliedProduct): boolean {
	const { substance, group, nutrient } = limit;
	if (nutrient !== undefined) return kgOf(nutrient, applied) !== 0;
	if (substance !== undefined) return applied.actives.some((active) => sameName(active.substance, substance));
	if (group !== undefined) return hasGroup(applied, group);
	return applied.productId === product?.productId;
}

export function hasGroup({ actives }: AppliedProduct, group: string): boolean {
	return actives.some((active) => active.group !== null && sameName(active.group, group));
}

function summed(check: Check, sum: Sum): Outcome {
	const { limit, application } = check;
	const { max } = limit;
	if (max === undefined) return incomplete(limit, 'maximum');
	const own = addedBy(application.products, sum);
	const others = applicationsOf(application.history, sum);
	const treated = others.map(({ date }) => date);
	const { name, periods } = periodsOf(limit, { date: application.date, ground: application.ground, treated });
	if (periods.length === 0) {
		const say = `The limit on ${sum.what} applies ${name}, not on ${writtenDate(application.date)}.`;
		return { verdict: 'ok', limit: max, value: null, unit: sum.unit, say };
	}
	const totals = periods.map((period) => totalIn(period, others, own));
	const worst = totals.toSorted((a, b) => b.surely - a.surely || b.possibly - a.possibly)[0];
	if (worst === undefined) return incomplete(limit, 'period');
	const mostPossible = Math.max(...totals.map(({ possibly }) => possibly));
	const verdict = verdictOf(
		max,
		worst.surely,
		mostPossible,
		totals.some(({ unknown }) => unknown),
	);
	const shown = verdict === 'ask' ? (totals.find(({ possibly }) => possibly === mostPossible) ?? worst) : worst;
	const value = verdict === 'ask' ? shown.possibly : shown.surely;
	const room = exceeds(value, max)
		? `${figure(value - max)} too ${sum.once ? 'many' : 'much'}`
		: `${figure(max - value)} left`;
	const doubt = {
		ask: ' Part of it may have been on other ground of the field: was it the same?',
		unknown: ' What one of the products contains is not known.',
	};
	const say = `The ${sum.what} per ${name} comes to ${figure(value)} of ${figure(max)} ${sum.once && max === 1 ? 'treatment' : sum.unit} with this application: ${room}.`;
	const planned = shown.planned === 0 ? '' : ` Of the others, ${shown.planned} are planned, not sprayed.`;
	return {
		verdict,
		limit: max,
		value,
		unit: sum.unit,
		records: shown.records,
		say: say + planned + (verdict === 'ask' || verdict === 'unknown' ? doubt[verdict] : ''),
	};
}

function verdictOf(max: number, surely: number, possibly: number, unknown: boolean): Outcome['verdict'] {
	if (exceeds(surely, max)) return 'block';
	if (unknown) return 'unknown';
	return exceeds(possibly, max) ? 'ask' : 'ok';
}

function totalIn(period: Period, others: readonly Application[], own: number | null) {
	let surely = own ?? 0;
	let possibly = surely;
	let unknown = own === null;
	let planned = 0;
	const records: string[] = [];
	for (const other of others) {
		const { date, overlap, adds } = other;
		if (date < period.from || date > period.to || overlap === 'no' || adds === 0) continue;
		if (overlap === 'yes') surely += adds ?? 0;
		possibly += adds ?? 0;
		if (adds === null) unknown = true;
		if (other.planned) planned += 1;
		records.push(...other.records);
	}
	return { surely, possibly, unknown, planned, records };
}

/** What one job puts on a field later than this after its last day is another application, as seed of a lot sown again. Assumption. */
const DAYS_OF_ONE_JOB = 14;

/**
 * The records of one job's loads lie side by side on the ground, also where rain broke it off and it was gone on with days
 * later: they are one application, and of each product its highest dose counts, not the sum. Washings over that ground add
 * their dose by themselves, and are no treatment more. Records that add nothing are left out.
 */
function applicationsOf(history: readonly Treatment[], sum: Sum): Application[] {
	const found: Treatment[][] = [];
	const last = new Map<string, Treatment[]>();
	for (const record of history) {
		if (sum.adds(record) === 0) continue;
		if (record.onTop) {
			if (!sum.once) found.push([record]);
			continue;
		}
		const same = last.get(record.application);
		const before = same?.at(-1);
		if (same && before && (before.date === record.date || isOneJob(before, record))) same.push(record);
		else {
			const first = [record];
			last.set(record.application, first);
			found.push(first);
		}
	}
	return found.flatMap((records) => {
		const [first] = records;
		return first ? [applicationOf(first, records, sum)] : [];
	});
}

function isOneJob(a: Treatment, b: Treatment): boolean {
	return Math.abs(daysBetween(a.date, b.date)) <= DAYS_OF_ONE_JOB;
}

function applicationOf(first: Treatment, records: readonly Treatment[], sum: Sum): Application {
	const { planned, overlap, recordId } = first;
	const date =
		records
			.map((one) => one.date)
			.sort()
			.at(-1) ?? first.date;
	if (records.length === 1) return { date, planned, overlap, records: [recordId], adds: sum.adds(first) };
	const highest = new Map<string, Treatment>();
	for (const record of records) {
		const known = highest.get(record.productId);
		if (!known || record.dosePerHa > known.dosePerHa) highest.set(record.productId, record);
	}
	return {
		date,
		planned,
		overlap: (['yes', 'unknown', 'no'] as const).find((each) => records.some((one) => one.overlap === each)) ?? 'no',
		records: records.map((one) => one.recordId),
		adds: addedBy([...highest.values()], sum),
	};
}

/** What the products of one application add together. */
function addedBy(products: readonly AppliedProduct[], { adds, once }: Sum): number | null {
	if (once) return products.some((product) => adds(product) !== 0) ? 1 : 0;
	return products.reduce<number | null>((sum, product) => plus(sum, adds(product)), 0);
}

/** A sum with something unknown in it is unknown. */
function plus(sum: number | null, more: number | null): number | null {
	return sum === null || more === null ? null : sum + more;
}

function only(names: readonly string[] | undefined): string | undefined {
	return names?.length === 1 ? names[0] : undefined;
}
