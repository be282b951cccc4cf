import type { ProductRow } from '../../db/modules/products.ts';
import { listUses, type UseStored } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays } from '../../shared/basics/calendar.ts';
import type { AppliedProduct, Limit, Treatment } from '../../shared/core/limits/limit.ts';
import { addYears } from '../../shared/core/limits/period.ts';
import type { Nutrient } from '../../shared/core/products/nutrient.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied, asPlanned } from './applied-product.ts';
import type { ProductDetails } from './products.ts';
import type { SownTreatment } from './seed-sowings.ts';

/** A treatment that happened, with when it began and how much ground it covered. Its `recordId` is the number of the entry. */
export type Dated = Treatment & {
	readonly at: number;
	/** Where it stands in its field's history, oldest first. */
	readonly place: number;
	readonly areaHa: number;
	/** Under an earlier name of the ground: that field, and how much of the ground looked at must lie on it. */
	readonly on?: { readonly fieldHa: number; readonly firstHa: number };
};

/** What the limits of a mix have to look back at: anything that goes by one of these names, so many years. */
export type Wanted = { readonly names: ReadonlySet<string>; readonly years: number };

/** A limit without a number of years may span the crop and the season before it. */
const LEAST_YEARS = 2;

const named = (kind: 'product' | 'name' | 'substance' | 'group' | 'nutrient', text: string) =>
	`${kind} ${text.trim().toLowerCase()}`;

/** Every name a limit may know a product by. */
function namesOf(product: AppliedProduct): string[] {
	const { productId, name, actives, nutrients = [] } = product;
	return [
		named('product', productId),
		named('name', name),
		...actives.map(({ substance }) => named('substance', substance)),
		...actives.flatMap(({ group }) => (group === null ? [] : [named('group', group)])),
		...nutrients.map(({ nutrient }) => named('nutrient', nutrient)),
	];
}

/** What the limits of one product, and those of fields on its nutrients, ask about other treatments. */
function wantedBy(product: AppliedProduct, limits: readonly Limit[], limited: ReadonlySet<Nutrient>): Wanted {
	const names = new Set([named('product', product.productId)]);
	for (const { nutrient } of product.nutrients ?? []) if (limited.has(nutrient)) names.add(named('nutrient', nutrient));
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

/** What a limit of a field looks back at: every product that holds one of these nutrients. */
export function wantedOfNutrients(of: readonly Nutrient[], years = LEAST_YEARS): Wanted {
	return { names: new Set(of.map((nutrient) => named('nutrient', nutrient))), years };
}

/** What was sprayed on one field, filed by every name a limit asks for. Filled oldest first. */
export class FieldHistory {
	readonly #byName = new Map<string, Dated[]>();
	size = 0;

	add(treatment: Dated, names: readonly string[]): void {
		this.size += 1;
		for (const name of names) {
			const known = this.#byName.get(name);
			if (known) known.push(treatment);
			else this.#byName.set(name, [treatment]);
		}
	}

	/** Treatments of other jobs that began before this moment and that one of the mix's limits may count, oldest first. */
	before({ at, jobId, date }: { at: number; jobId: string; date: string }, wanted: readonly Wanted[]): Dated[] {
		const found: Dated[] = [];
		let lists = 0;
		for (const { names, years } of wanted) {
			const since = addYears(date, -years);
			for (const name of names) {
				const known = this.#byName.get(name);
				if (!known) continue;
				lists += 1;
				for (let index = firstSince(known, since); index < known.length; index++) {
					const one = known[index];
					if (!one || one.at >= at) break;
					if (one.application !== jobId) found.push(one);
				}
			}
		}
		if (lists < 2) return found;
		return found.sort((a, b) => a.place - b.place).filter((one, index) => one !== found[index - 1]);
	}
}

/** Where the treatments of that day or later begin. */
function firstSince(known: readonly Dated[], date: string): number {
	let [low, high] = [0, known.length];
	while (low < high) {
		const middle = (low + high) >> 1;
		if ((known[middle]?.date ?? date) < date) low = middle + 1;
		else high = middle;
	}
	return low;
}

type Product = ProductRow<ProductDetails>;
type LookedAt = {
	readonly products: ReadonlyMap<string, Product>;
	readonly wanted: ReadonlyMap<string, Wanted>;
};

/** What the limits of each product look back at, by product; `limited` are the nutrients some field has a limit of. */
export function wantedOf(products: ReadonlyMap<string, Product>, limited: Iterable<Nutrient>): Map<string, Wanted> {
	const nutrients = new Set(limited);
	return new Map([...products].map(([id, product]) => [id, wantedBy(applied(product, 0), product.limits, nutrients)]));
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

type Remembered = Pick<LookedAt, 'products' | 'wanted'> & {
	readonly measureStep: number;
	/** Treated seed that was sown, oldest first: it counts on its field from then on. */
	readonly sown?: readonly (SownTreatment & { readonly at: number })[];
	/** How the ground of earlier treatments is taken to lie; it is judged by areas where left out. */
	readonly overlap?: Treatment['overlap'];
};

/** Every use as a treatment, filed by the field it lies on. */
export function historyOf(
	uses: readonly UseStored[],
	{ products, wanted, measureStep, sown = [], overlap = 'unknown' }: Remembered,
): Map<string, FieldHistory> {
	const asked = new Set([...wanted.values()].flatMap(({ names }) => [...names]));
	const known = new Map(
		[...products].map(([id, product]) => {
			const names = namesOf(applied(product, 0)).filter((name) => asked.has(name));
			return [id, { product, names, byDose: new Map<number, AppliedProduct>() }];
		}),
	);
	const passOf = areasOfPasses(uses);
	const history = new Map<string, FieldHistory>();
	const onField = (id: string) => {
		const field = history.get(id) ?? new FieldHistory();
		history.set(id, field);
		return field;
	};
	let next = 0;
	const sowUntil = (moment: number) => {
		for (let one = sown[next]; one && one.at <= moment; one = sown[++next]) {
			const product = known.get(one.productId);
			if (!product) continue;
			const field = onField(one.fieldId);
			const what = applied(product.product, one.dosePerHa);
			const when = { date: one.date, at: one.at, place: field.size, areaHa: one.areaHa };
			const of = { recordId: one.sowingId, application: one.jobId, overlap, planned: false };
			field.add({ ...what, ...of, ...when }, product.names);
		}
	};
	for (const [index, use] of uses.entries()) {
		const one = known.get(use.productId);
		if (!one || use.fieldId === null) continue;
		sowUntil(use.startedAt);
		const field = onField(use.fieldId);
		const areaHa = passOf[index]?.areaHa ?? 0;
		const washed = use.washedM2 !== null;
		const put = fromStockAmount(use.onGround) / toHectares(use.washedM2 ?? use.treatedM2);
		const planned = { planned: use.plannedDose ?? 0, stepPerHa: measureStep / areaHa };
		const dose = washed ? put : asPlanned(put, planned);
		let what = one.byDose.get(dose);
		if (!what) {
			what = applied(one.product, dose);
			one.byDose.set(dose, what);
		}
		const treatment: Dated = {
			productId: what.productId,
			name: what.name,
			unit: what.unit,
			dosePerHa: dose,
			actives: what.actives,
			nutrients: what.nutrients,
			recordId: String(use.seq),
			application: use.jobId,
			date: use.sprayDate,
			overlap,
			planned: false,
			onTop: washed && use.treatedM2 === 0,
			at: use.startedAt,
			place: field.size,
			areaHa,
		};
		field.add(treatment, one.names);
	}
	sowUntil(Infinity);
	return history;
}

type Pass = { readonly fieldId: string | null; readonly productId: string; areaHa: number };

/** The area all loads of one job covered on one field with one product, for each use; of washings where they lie. */
function areasOfPasses(uses: readonly UseStored[]): Pass[] {
	const byJob = new Map<string, Pass[]>();
	return uses.map(({ jobId, fieldId, productId, treatedM2, washedM2 }) => {
		if (washedM2 !== null) return { fieldId, productId, areaHa: toHectares(washedM2) };
		let passes = byJob.get(jobId);
		if (!passes) {
			passes = [];
			byJob.set(jobId, passes);
		}
		let pass = passes.find((one) => one.productId === productId && one.fieldId === fieldId);
		if (!pass) {
			pass = { fieldId, productId, areaHa: 0 };
			passes.push(pass);
		}
		pass.areaHa += toHectares(treatedM2);
		return pass;
	});
}
