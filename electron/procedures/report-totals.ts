import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listPasses, type PassStored } from '../../db/modules/records.ts';
import { jobsIndoors } from '../../db/modules/spaces.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { type Ground, groundOf, piecesUnder, sharedGroundNote } from './report-ground.ts';
import { alphabetical, number, type Period, type ReportTable, text, totalsOf } from './report-table.ts';

type Product = ProductRow<ProductDetails>;
type Used = {
	readonly product: Product;
	readonly passes: readonly PassStored[];
	/** All that was poured. */
	readonly amount: number;
	/** What lies on ground: of it a mean dose is made. */
	readonly onGround: number;
	/** The parts of it that went on seed and into closed spaces: those are no ground. */
	readonly onSeed: number;
	readonly inSpaces: number;
};

async function usedProducts({ db }: QueryContext, period: Period): Promise<Used[]> {
	const passes = Map.groupBy(await listPasses(db, period), ({ productId }) => productId);
	const indoors = await jobsIndoors(db);
	return (await listProducts<ProductDetails>(db)).flatMap((product) => {
		const own = passes.get(product.id);
		if (!own) return [];
		const sum = (rows: readonly PassStored[]) => fromStockAmount(rows.reduce((total, row) => total + row.amount, 0));
		const [inside, seeds] = [true, false].map((indoor) =>
			own.filter(({ fieldId, jobId }) => fieldId === null && indoors.has(jobId) === indoor),
		);
		const onGround = fromStockAmount(own.reduce((total, row) => total + (row.fieldId === null ? 0 : row.onGround), 0));
		return [
			{ product, passes: own, amount: sum(own), onGround, onSeed: sum(seeds ?? []), inSpaces: sum(inside ?? []) },
		];
	});
}

const passesOf = (used: readonly Used[]) => used.flatMap(({ passes }) => passes);

/** What was brought out of each product: amount, kilograms, and the ground it went on. */
export async function productTotals(context: QueryContext, period: Period): Promise<ReportTable> {
	const used = await usedProducts(context, period);
	const pieces = await piecesUnder(context.db, passesOf(used));
	const rows = used.map(({ product, passes: lines, amount, onGround, onSeed, inSpaces }): ReportRow => {
		const ground = groundOf(lines, pieces);
		const { treatedHa } = ground;
		return {
			product: product.name,
			formulation: product.formulation,
			authorisationNo: product.authorisationNo ?? null,
			amount,
			unit: product.unit,
			kg: kilograms(product, amount),
			...groundCells(ground),
			meanDose: treatedHa > 0 ? onGround / treatedHa : null,
			stayed: stayedOf({ amount, onGround, onSeed, inSpaces }),
			onSeed: onSeed > 0 ? onSeed : null,
			inSpaces: inSpaces > 0 ? inSpaces : null,
		};
	});
	const unweighed = used.filter(({ product, amount }) => kilograms(product, amount) === null);
	return {
		columns: [
			text('product', 'product'),
			text('formulation', 'formulation'),
			text('authorisationNo', 'authorisation no.'),
			number('amount', 'amount', 3, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			number('kg', 'mass', 2, { unit: 'kg' }),
			number('treatedHa', 'treated, each pass', 2, { unit: 'ha' }),
			number('basicHa', 'basic, each hectare once', 2, { unit: 'ha' }),
			number('passes', 'treatments', 0),
			number('meanDose', 'mean dose per ha', 3, { unitFrom: 'unit' }),
			number('stayed', 'of it stayed in sump and lines', 3, { unitFrom: 'unit', under: 'amount' }),
			number('onSeed', 'of it on seed', 3, { unitFrom: 'unit', under: 'amount' }),
			number('inSpaces', 'of it in closed spaces', 3, { unitFrom: 'unit', under: 'amount' }),
		],
		rows: rows.sort((a, b) => alphabetical(String(a['product']), String(b['product']))),
		totals: null,
		notes: [
			...(unweighed.length > 0 ? [`Mass unknown without a relative density: ${namesOf(unweighed)}.`] : []),
			...sharedGroundNote(pieces),
		],
	};
}

/** What went on seed or into closed spaces alone has no ground, not none of it. */
function groundCells({ treatedHa, basicHa, passes }: Ground) {
	return passes > 0 ? { treatedHa, basicHa, passes } : { treatedHa: null, basicHa: null, passes: null };
}

/** What is no dose because it filled sump and lines; rounding says nothing. */
function stayedOf({ amount, onGround, onSeed, inSpaces }: Omit<Used, 'product' | 'passes'>): number | null {
	const stayed = amount - onSeed - inSpaces - onGround;
	return stayed >= 0.0005 ? stayed : null;
}

function kilograms({ unit, relativeDensity }: Product, amount: number): number | null {
	if (unit === 'kg') return amount;
	return relativeDensity == null ? null : amount * relativeDensity;
}

type ActiveUse = {
	substance: string;
	kg: number;
	groundKg: number;
	seedKg: number;
	spaceKg: number;
	groups: Set<string>;
	used: Used[];
};

/** Kilograms of each active substance over all products that carry it. */
export async function activeTotals(context: QueryContext, period: Period): Promise<ReportTable> {
	const totals = new Map<string, ActiveUse>();
	const uncounted: string[] = [];
	const everything = await usedProducts(context, period);
	const pieces = await piecesUnder(context.db, passesOf(everything));
	for (const one of everything) {
		const { product, amount, onGround, onSeed, inSpaces } = one;
		const measured = { unit: product.unit, relativeDensity: product.relativeDensity ?? null };
		for (const active of product.actives) {
			const grams = activeSubstance(amount, measured, active);
			if (!grams.ok) {
				uncounted.push(`${active.substance} in ${product.name}`);
				continue;
			}
			const key = active.substance.trim().toLowerCase();
			const sum = totals.get(key) ?? {
				substance: active.substance,
				kg: 0,
				groundKg: 0,
				seedKg: 0,
				spaceKg: 0,
				groups: new Set(),
				used: [],
			};
			totals.set(key, sum);
			sum.kg += grams.value / 1000;
			sum.groundKg += (grams.value / 1000) * (onGround / amount);
			sum.seedKg += (grams.value / 1000) * (onSeed / amount);
			sum.spaceKg += (grams.value / 1000) * (inSpaces / amount);
			sum.used.push(one);
			if (active.modeOfAction) sum.groups.add(active.modeOfAction);
		}
	}
	const rows = [...totals.values()].map(({ substance, kg, groundKg, seedKg, spaceKg, groups, used }): ReportRow => {
		const ground = groundOf(passesOf([...new Set(used)]), pieces);
		const { treatedHa } = ground;
		return {
			substance,
			modeOfAction: [...groups].join(', ') || null,
			kg,
			...groundCells(ground),
			gPerHa: treatedHa > 0 ? (groundKg * 1000) / treatedHa : null,
			seedKg: seedKg > 0 ? seedKg : null,
			spaceKg: spaceKg > 0 ? spaceKg : null,
			products: namesOf([...new Set(used)]),
		};
	});
	rows.sort((a, b) => alphabetical(String(a['substance']), String(b['substance'])));
	return {
		columns: [
			text('substance', 'active substance'),
			text('modeOfAction', 'mode of action'),
			number('kg', 'mass', 3, { unit: 'kg' }),
			number('treatedHa', 'treated, each pass', 2, { unit: 'ha' }),
			number('basicHa', 'basic, each hectare once', 2, { unit: 'ha' }),
			number('passes', 'treatments', 0),
			number('gPerHa', 'mean', 1, { unit: 'g/ha' }),
			number('seedKg', 'of it on seed', 3, { unit: 'kg', under: 'kg' }),
			number('spaceKg', 'of it in closed spaces', 3, { unit: 'kg', under: 'kg' }),
			text('products', 'products'),
		],
		rows,
		totals: totalsOf(rows, 'substance', ['kg']),
		notes: [
			...(uncounted.length > 0 ? [`Not counted, the relative density is missing: ${uncounted.join(', ')}.`] : []),
			...sharedGroundNote(pieces),
		],
	};
}

function namesOf(used: readonly Pick<Used, 'product'>[]): string {
	return used.map(({ product }) => product.name).join(', ');
}
