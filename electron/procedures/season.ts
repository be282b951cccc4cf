import { listFields } from '../../db/modules/fields.ts';
import { standingLogs } from '../../db/modules/jobs.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listPasses, type PassStored, recordCells } from '../../db/modules/records.ts';
import { bookAmounts } from '../../db/modules/store.ts';
import { sumsByKind } from '../../db/modules/store-sums.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Statement } from '../../shared/contract/season.ts';
import type { SeasonReconciliation } from '../../shared/contract/season-reconcile.ts';
import type { GroundPieces } from '../../shared/core/geometry/ground-pieces.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { reconcileSeason } from '../../shared/core/reconcile/reconcile-season.ts';
import type { MovementKind } from '../../shared/core/store/movement-kinds.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { endOfDay, startOfDay } from './clock.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext, ReadOnly } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { missingBy, missingFrom, recordDetails } from './records.ts';
import { groundOf, piecesUnder } from './report-ground.ts';
import { gatherBooks } from './season-books.ts';

type Period = { readonly from: string; readonly to: string };

/** The store's figures of one product over a period. */
type Stock = {
	readonly productId: string;
	readonly product: string;
	readonly formulation: string;
	readonly unit: 'L' | 'kg';
	readonly opening: number;
	readonly delivered: number;
	readonly used: number;
	readonly otherOut: number;
	readonly counted: number;
	readonly closing: number;
};

/** The ledger of a period, product by product. At the end = at the start + everything posted in between. */
export async function stockOf({ db, farm }: QueryContext, { from, to }: Period): Promise<Stock[]> {
	const start = startOfDay(from, farm.zone);
	const opening = await bookAmounts(db, { store: 'all', until: start - 1 });
	const sums = Map.groupBy(await sumsByKind(db, start, endOfDay(to, farm.zone)), ({ productId }) => productId);
	return (await listProducts(db)).map(({ id, name, formulation, unit }) => {
		const own = sums.get(id) ?? [];
		const atStart = opening.get(id) ?? 0;
		const of = (...kinds: readonly MovementKind[]) =>
			fromStockAmount(own.reduce((sum, { kind, amount }) => (kinds.includes(kind) ? sum + amount : sum), 0));
		return {
			productId: id,
			product: name,
			formulation,
			unit,
			opening: fromStockAmount(atStart),
			delivered: of('delivery'),
			used: 0 - of('load', 'load reversal'),
			otherOut: 0 - of('disposal', 'mix disposal', 'return', 'spill', 'transfer', 'loan', 'reversal'),
			counted: of('count adjustment'),
			closing: fromStockAmount(own.reduce((sum, { amount }) => sum + amount, atStart)),
		};
	});
}

/** The season in figures, from the ledger and the records. */
export async function statement(context: QueryContext, period: Period): Promise<Result<Statement>> {
	const { from, to } = period;
	if (to < from) return refuse('period.reversed', { from, to });
	const { db, farm } = context;
	const products = await listProducts<ProductDetails>(db);
	const passes = await listPasses(db, period);
	const pieces = await piecesUnder(db, passes);
	const byProduct = Map.groupBy(passes, ({ productId }) => productId);
	const byField = Map.groupBy(passes, ({ fieldId }) => fieldId);
	const season = seasonOf(to, farm.seasonStartMonth);
	const logs = await standingLogs(db, { from: startOfDay(from, farm.zone), to: endOfDay(to, farm.zone) });
	const records = await recordCells(db, missingFrom, period);
	return ok({
		from,
		to,
		products: (await stockOf(context, period)).map(({ product: name, formulation: _, ...stock }) => {
			const own = byProduct.get(stock.productId) ?? [];
			const { treatedHa, basicHa } = groundOf(own, pieces);
			return {
				name,
				...stock,
				onGround: fromStockAmount(own.reduce((sum, { onGround }) => sum + onGround, 0)),
				treatedHa,
				basicHa,
			};
		}),
		actives: activesIn(products, byProduct, pieces),
		fields: (await listFields(db, season)).map((row) => {
			const { treatedHa, passes: treatments } = groundOf(byField.get(row.field.id) ?? [], pieces);
			const { m2 } = loadFor(row);
			return {
				fieldId: row.field.id,
				name: row.field.name,
				crop: row.crop?.crop ?? null,
				mappedHa: row.field.mappedM2 === null ? null : toHectares(row.field.mappedM2),
				measuredHa: row.boundary ? toHectares(row.boundary.areaM2) : null,
				loadForHa: m2 === null ? null : toHectares(m2),
				treatments,
				treatedHa,
			};
		}),
		loadsLogged: logs.filter(({ state }) => state === 'complete').length,
		recordsIncomplete: records.filter((row) => missingBy(row, recordDetails(row), farm.ruleSet).length > 0).length,
	});
}

const amountOf = (passes: readonly PassStored[]) => passes.reduce((sum, { amount }) => sum + amount, 0);

function activesIn(
	products: readonly ProductRow<ProductDetails>[],
	passes: ReadonlyMap<string, readonly PassStored[]>,
	pieces: GroundPieces,
): Statement['actives'] {
	const totals = new Map<string, { kg: number; treatedHa: number }>();
	for (const product of products) {
		const rows = passes.get(product.id) ?? [];
		const amount = fromStockAmount(amountOf(rows));
		const { treatedHa } = groundOf(rows, pieces);
		if (amount === 0) continue;
		for (const active of product.actives) {
			const grams = activeSubstance(
				amount,
				{ unit: product.unit, relativeDensity: product.relativeDensity ?? null },
				active,
			);
			if (!grams.ok) continue;
			const sum = totals.get(active.substance) ?? { kg: 0, treatedHa: 0 };
			totals.set(active.substance, { kg: sum.kg + grams.value / 1000, treatedHa: sum.treatedHa + treatedHa });
		}
	}
	return [...totals].sort(([a], [b]) => (a < b ? -1 : 1)).map(([substance, sum]) => ({ substance, ...sum }));
}

const NO_MIX_SPREAD =
	'Spread from a hopper: there is no mix to hold against meter and controller, only ground and store.';
const NO_MIX_ON_SEED = 'Put on seed: ground is dose × seed treated, and there is no mix to hold against it.';
const NO_MIX_IN_SPACE =
	'In a closed space: ground is dose × what was treated, and there is no mix to hold against meter and controller.';

/** Ground, tank and store of a period, held against each other. */
export async function reconcileBooks(
	context: QueryContext,
	period: Period,
): Promise<Result<ReadOnly<SeasonReconciliation>>> {
	const books = await gatherBooks(context, period);
	const found = reconcileSeason(books);
	if (!found.ok) return found;
	const withoutTank = books.withoutTank.map(({ jobId, kind }) => ({
		jobId,
		sprayedL: 0,
		expectedLeft: { low: 0, high: 0 },
		mayRunOutHa: 0,
		say: kind === 'granules' ? NO_MIX_SPREAD : kind === 'closed space' ? NO_MIX_IN_SPACE : NO_MIX_ON_SEED,
	}));
	return ok({ ...found.value, jobs: [...found.value.jobs, ...withoutTank] });
}
