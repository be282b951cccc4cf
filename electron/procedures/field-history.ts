import type { ProductRow } from '../../db/modules/products.ts';
import { listUses, type UseStored } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays } from '../../shared/basics/calendar.ts';
import type { AppliedProduct, Limit, Treatment } from '../../shared/core/limits/limit.ts';
import { addYears } from '../../shared/core/limits/period.ts';

import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied, asPlanned } from './limits.ts';
import type { ProductDetails } from './products.ts';

/** A treatment that happened, with when it began and how much ground it covered. */
export type Dated = Treatment & {
	readonly at: number;
	readonly areaHa: number;
	/** Under an earlier name of the ground: that field, and how much of the ground looked at must lie on it. */
	readonly on?: { readonly fieldHa: number; readonly firstHa: number };
};
type Placed = { readonly place: number; readonly treatment: Dated };

/** What the limits of a mix have to look back at: anything that goes by one of these names, so many years. */
export type Wanted = { readonly names: ReadonlySet<string>; readonly years: number };

/** A limit without a number of years may span the crop and the season before it. */
const LEAST_YEARS = 2;

const named = (kind: 'product' | 'name' | 'substance' | 'group', text: string) =>
	`${kind} ${text.trim().toLowerCase()}`;

/** Every name a limit may know a product by. */
function namesOf({ productId, name, actives }: AppliedProduct): string[] {
	return [
		named('product', productId),
		named('name', name),
		...actives.map(({ substance }) => named('substance', substance)),
		...actives.flatMap(({ group }) => (group === null ? [] : [named('group', group)])),
	];
}

/** What the limits of one product ask about other treatments. */
function wantedBy(product: AppliedProduct, limits: readonly Limit[]): Wanted {
	const names = new Set([named('product', product.productId)]);
	let years = LEAST_YEARS;
	for (const { kind, substance, group, partner, years: span } of limits) {
		if (substance !== undefined) names.add(named('substance', substance));
		else if (kind === 'activeSubstance') {
			for (const active of product.actives) names.add(named('substance', active.substance));
		}
		if (group !== undefined) names.add(named('group', group));
		else if (kind === 'modeOfAction') {
			for (const active of product.actives) if (active.group !== null) names.add(named('group', active.group));
		}
		for (const way of ['product', 'name', 'substance', 'group'] as const) {
			if (partner !== undefined) names.add(named(way, partner));
		}
		years = Math.max(years, span ?? 0);
	}
	return { names, years };
}

/** What was sprayed on one field, filed by every name a limit may ask for. Filled oldest first. */
export class FieldHistory {
	readonly #byName = new Map<string, Placed[]>();
	#places = 0;

	get isEmpty(): boolean {
		return this.#places === 0;
	}

	add(treatment: Dated, names: readonly string[]): void {
		this.#places += 1;
		const placed = { place: this.#places, treatment };
		for (const name of names) {
			const known = this.#byName.get(name);
			if (known) known.push(placed);
			else this.#byName.set(name, [placed]);
		}
	}

	/** Treatments of other jobs that began before this moment and that one of the mix's limits may count, oldest first. */
	before({ at, jobId, date }: { at: number; jobId: string; date: string }, wanted: readonly Wanted[]): Dated[] {
		const found = new Set<Placed>();
		for (const { names, years } of wanted) {
			const since = addYears(date, -years);
			for (const name of names) {
				const known = this.#byName.get(name) ?? [];
				for (let index = firstSince(known, since); index < known.length; index++) {
					const one = known[index];
					if (!one || one.treatment.at >= at) break;
					if (one.treatment.application !== jobId) found.add(one);
				}
			}
		}
		return [...found].sort((a, b) => a.place - b.place).map(({ treatment }) => treatment);
	}
}

/** Where the treatments of that day or later begin. */
function firstSince(known: readonly Placed[], date: string): number {
	let [low, high] = [0, known.length];
	while (low < high) {
		const middle = (low + high) >> 1;
		if ((known[middle]?.treatment.date ?? date) < date) low = middle + 1;
		else high = middle;
	}
	return low;
}

type Product = ProductRow<ProductDetails>;
type LookedAt = {
	readonly products: ReadonlyMap<string, Product>;
	readonly wanted: ReadonlyMap<string, Wanted>;
};

/** What the limits of each product look back at, by product. */
export function wantedOf(products: ReadonlyMap<string, Product>): Map<string, Wanted> {
	return new Map([...products].map(([id, product]) => [id, wantedBy(applied(product, 0), product.limits)]));
}

/** The uses of the period and what its limits look back at: far back only those of products that a limit over years counts. */
export async function usesLookedAt(
	db: ReadDb,
	{ from, to }: { readonly from: string; readonly to: string },
	{ products, wanted }: LookedAt,
): Promise<UseStored[]> {
	const far = [...wanted.values()].filter(({ years }) => years > LEAST_YEARS);
	const years = Math.max(LEAST_YEARS, ...far.map((one) => one.years));
	const near = addYears(from, -LEAST_YEARS);
	const recent = await listUses(db, { from: near, to });
	if (far.length === 0) return recent;
	const counted = new Set(far.flatMap(({ names }) => [...names]));
	const productIds = [...products.values()]
		.filter((product) => namesOf(applied(product, 0)).some((name) => counted.has(name)))
		.map(({ id }) => id);
	const old = await listUses(db, { from: addYears(from, -years), to: addDays(near, -1), productIds });
	return [...old, ...recent];
}

/** Every use as a treatment, filed by the field it lies on. */
export function historyOf(
	uses: readonly UseStored[],
	{ products, measureStep }: Pick<LookedAt, 'products'> & { readonly measureStep: number },
): Map<string, FieldHistory> {
	const passes = new Map<string, { areaHa: number }>();
	const passOf = uses.map(({ jobId, fieldId, productId, treatedM2 }) => {
		const key = `${jobId} ${fieldId} ${productId}`;
		const pass = passes.get(key) ?? { areaHa: 0 };
		if (pass.areaHa === 0) passes.set(key, pass);
		pass.areaHa += toHectares(treatedM2);
		return pass;
	});
	const known = new Map([...products].map(([id, product]) => [id, { product, names: namesOf(applied(product, 0)) }]));
	const history = new Map<string, FieldHistory>();
	for (const [index, use] of uses.entries()) {
		const one = known.get(use.productId);
		if (!one) continue;
		const dose = fromStockAmount(use.amount) / toHectares(use.treatedM2);
		const areaHa = passOf[index]?.areaHa ?? 0;
		if (use.fieldId === null) continue;
		const field = history.get(use.fieldId) ?? new FieldHistory();
		if (field.isEmpty) history.set(use.fieldId, field);
		const planned = asPlanned(dose, { planned: use.plannedDose ?? 0, stepPerHa: measureStep / areaHa });
		const treatment: Dated = {
			...applied(one.product, planned),
			recordId: use.recordId,
			application: use.jobId,
			date: use.sprayDate,
			overlap: 'unknown',
			planned: false,
			at: use.startedAt,
			areaHa,
		};
		field.add(treatment, one.names);
	}
	return history;
}
