import { writtenDate } from '../../basics/calendar.ts';
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

/** What one application adds to a sum: null where it cannot be reckoned. */
type Measure = (products: readonly AppliedProduct[]) => number | null;

/** Everything sprayed in one go. */
type Application = {
	readonly date: string;
	readonly overlap: Treatment['overlap'];
	readonly planned: boolean;
	readonly records: readonly string[];
	readonly adds: number | null;
};

/** What a limit adds up, in which unit; the name of the figure it lacks where it cannot. */
type Sum = { readonly measure: Measure; readonly unit: string; readonly what: string };

/** Limits that add up several treatments. */
export const sumKinds = ['totalDose', 'treatments', 'activeSubstance', 'modeOfAction'] as const;
type SumKind = (typeof sumKinds)[number];

const sums: Readonly<Record<SumKind, (check: Check) => Sum | string>> = {
	totalDose: ({ product }) => {
		if (product === null) return 'product';
		const measure: Measure = (products) =>
			sumOf(products.filter(({ productId }) => productId === product.productId).map(({ dosePerHa }) => dosePerHa));
		return { measure, unit: `${product.unit}/ha`, what: 'total dose' };
	},
	treatments: (check) => {
		const measure: Measure = (products) => (products.some((applied) => concerns(check, applied)) ? 1 : 0);
		return { measure, unit: 'treatments', what: 'number of treatments' };
	},
	activeSubstance: (check) => {
		const substance = check.limit.substance ?? only(check.product?.actives.map((active) => active.substance));
		if (substance === undefined) return 'substance';
		const measure: Measure = (products) =>
			sumOf(
				products.flatMap(({ actives }) =>
					actives.filter((active) => sameName(active.substance, substance)).map(({ gPerHa }) => gPerHa),
				),
			);
		return { measure, unit: 'g/ha', what: substance };
	},
	modeOfAction: (check) => {
		const group = check.limit.group ?? only(check.product?.actives.flatMap((active) => active.group ?? []));
		if (group === undefined) return 'group';
		const measure: Measure = (products) => (products.some((applied) => hasGroup(applied, group)) ? 1 : 0);
		return { measure, unit: 'treatments', what: `number of treatments with group ${group}` };
	},
};

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
	const others = applicationsOf(application.history, sum.measure);
	const treated = others.map(({ date }) => date);
	const { name, periods } = periodsOf(limit, { date: application.date, ground: application.ground, treated });
	const totals = periods.map((period) => ({ period, ...totalIn(period, others, 0) }));
	const [fullest] = totals.toSorted((a, b) => b.possibly - a.possibly);
	if (!fullest || fullest.unknown) return null;
	const { possibly: used, records, period } = fullest;
	return { what: sum.what, per: name, since: period.from, used, max: limit.max, unit: sum.unit, records };
}

/** Is the limit about this product: by its substance or group where it names one, else by the product itself? */
export function concerns({ limit, product }: Check, applied: AppliedProduct): boolean {
	const { substance, group } = limit;
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
	const own = sum.measure(application.products);
	const others = applicationsOf(application.history, sum.measure);
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
	const room = exceeds(value, max) ? `${figure(value - max)} too much` : `${figure(max - value)} left`;
	const doubt = {
		ask: ' Part of it may have been on other ground of the field: was it the same?',
		unknown: ' What one of the products contains is not known.',
	};
	const say = `The ${sum.what} per ${name} comes to ${figure(value)} of ${figure(max)} ${sum.unit} with this application: ${room}.`;
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
	const within = others.filter(
		({ date, overlap, adds }) => period.from <= date && date <= period.to && overlap !== 'no' && adds !== 0,
	);
	const sure = within.filter(({ overlap }) => overlap === 'yes');
	const add = (sum: number, { adds }: Application) => sum + (adds ?? 0);
	return {
		surely: sure.reduce(add, own ?? 0),
		possibly: within.reduce(add, own ?? 0),
		unknown: own === null || within.some(({ adds }) => adds === null),
		planned: within.filter(({ planned }) => planned).length,
		records: within.flatMap(({ records }) => records),
	};
}

/**
 * The records of one job's loads lie side by side on the ground: they are one application, and of each product its
 * highest dose counts, not the sum. Records that add nothing are left out.
 */
function applicationsOf(history: readonly Treatment[], measure: Measure): Application[] {
	const counted = history.filter((record) => measure([record]) !== 0);
	const together = Map.groupBy(counted, ({ application, date }) => `${application} ${date}`);
	return [...together.values()].flatMap((records): Application[] => {
		const [first] = records;
		if (first === undefined) return [];
		const products = [...Map.groupBy(records, ({ productId }) => productId).values()].flatMap((same) =>
			same.toSorted((a, b) => b.dosePerHa - a.dosePerHa).slice(0, 1),
		);
		const overlap =
			(['yes', 'unknown', 'no'] as const).find((found) => records.some((record) => record.overlap === found)) ?? 'no';
		const adds = measure(products);
		const recordIds = records.map(({ recordId }) => recordId);
		return [{ date: first.date, overlap, planned: first.planned, records: recordIds, adds }];
	});
}

function sumOf(values: readonly (number | null)[]): number | null {
	return values.reduce<number | null>((sum, value) => (sum === null || value === null ? null : sum + value), 0);
}

function only(names: readonly string[] | undefined): string | undefined {
	return names?.length === 1 ? names[0] : undefined;
}
