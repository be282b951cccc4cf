import type { AppliedProduct, Limit, Treatment } from '../../shared/core/limits/limit.ts';
import { addYears } from '../../shared/core/limits/period.ts';

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
export const LEAST_YEARS = 2;

const named = (kind: 'product' | 'name' | 'substance' | 'group', text: string) =>
	`${kind} ${text.trim().toLowerCase()}`;

/** Every name a limit may know a product by. */
export function namesOf({ productId, name, actives }: AppliedProduct): string[] {
	return [
		named('product', productId),
		named('name', name),
		...actives.map(({ substance }) => named('substance', substance)),
		...actives.flatMap(({ group }) => (group === null ? [] : [named('group', group)])),
	];
}

/** What the limits of one product ask about other treatments. */
export function wantedBy(product: AppliedProduct, limits: readonly Limit[]): Wanted {
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
