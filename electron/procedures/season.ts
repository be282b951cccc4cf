import { listFields } from '../../db/modules/fields.ts';
import { loadLogs, standing } from '../../db/modules/jobs.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import { bookAmounts, sumsByKind } from '../../db/modules/store.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Statement } from '../../shared/contract/season.ts';
import type { SeasonReconciliation } from '../../shared/contract/season-reconcile.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';
import { reconcileSeason } from '../../shared/core/reconcile/reconcile-season.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { endOfDay, startOfDay } from './clock.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext, ReadOnly } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { recordLine } from './records.ts';
import { gatherBooks } from './season-books.ts';

type Period = { readonly from: string; readonly to: string };

/** The season in figures, from the ledger and the records. */
export async function statement(context: QueryContext, { from, to }: Period): Promise<Result<Statement>> {
	if (to < from) return refuse('period.reversed', { from, to });
	const { db, farm } = context;
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const products = await listProducts<ProductDetails>(db);
	const opening = await bookAmounts(db, start - 1);
	const closing = await bookAmounts(db, end);
	const sums = Map.groupBy(await sumsByKind(db, start, end), ({ productId }) => productId);
	const records = await listRecords(db, { from, to });
	const byProduct = Map.groupBy(records, ({ productId }) => productId);
	const season = seasonOf(to, farm.seasonStartMonth);
	const byField = Map.groupBy(records, ({ fieldId }) => fieldId);
	const logs = standing(await loadLogs(db)).filter((log) => log.startedAt >= start && log.startedAt <= end);
	return ok({
		from,
		to,
		products: products.map((product) => {
			const kinds = new Map((sums.get(product.id) ?? []).map(({ kind, amount }) => [kind, amount]));
			const of = (...names: readonly string[]) =>
				fromStockAmount(names.reduce((sum, name) => sum + (kinds.get(name as never) ?? 0), 0));
			const rows = byProduct.get(product.id) ?? [];
			return {
				productId: product.id,
				name: product.name,
				unit: product.unit,
				opening: fromStockAmount(opening.get(product.id) ?? 0),
				delivered: of('delivery'),
				used: 0 - of('load', 'load reversal'),
				otherOut: 0 - of('disposal', 'mix disposal', 'return', 'spill', 'transfer', 'loan', 'reversal'),
				counted: of('count adjustment'),
				closing: fromStockAmount(closing.get(product.id) ?? 0),
				onGround: fromStockAmount(rows.reduce((sum, row) => sum + row.amount, 0)),
				treatedHa: toHectares(rows.reduce((sum, row) => sum + row.treatedM2, 0)),
				basicHa: toHectares(basicArea(rows)),
			};
		}),
		actives: activesIn(products, byProduct),
		fields: (await listFields(db, season)).map((row) => {
			const treatments = byField.get(row.field.id) ?? [];
			const passes = new Map(treatments.map((record) => [record.jobId, 0]));
			for (const pass of Map.groupBy(treatments, ({ jobId, productId }) => `${jobId} ${productId}`).values()) {
				const [first] = pass;
				const area = pass.reduce((sum, record) => sum + record.treatedM2, 0);
				if (first) passes.set(first.jobId, Math.max(passes.get(first.jobId) ?? 0, area));
			}
			const { m2 } = loadFor(row);
			return {
				fieldId: row.field.id,
				name: row.field.name,
				crop: row.crop?.crop ?? null,
				mappedHa: row.field.mappedM2 === null ? null : toHectares(row.field.mappedM2),
				measuredHa: row.boundary ? toHectares(row.boundary.areaM2) : null,
				loadForHa: m2 === null ? null : toHectares(m2),
				treatments: passes.size,
				treatedHa: toHectares([...passes.values()].reduce((sum, area) => sum + area, 0)),
			};
		}),
		loadsLogged: logs.filter(({ state }) => state === 'complete').length,
		recordsIncomplete: records.filter((row) => recordLine(row, farm).missing.length > 0).length,
	});
}

/** Each hectare once: the largest area of any one job on each field. */
function basicArea(rows: readonly RecordStored[]): number {
	const passes = Map.groupBy(rows, ({ fieldId, jobId }) => `${fieldId} ${jobId}`);
	const largest = new Map<string, number>();
	for (const pass of passes.values()) {
		const [first] = pass;
		const area = pass.reduce((sum, { treatedM2 }) => sum + treatedM2, 0);
		if (first?.fieldId) largest.set(first.fieldId, Math.max(largest.get(first.fieldId) ?? 0, area));
	}
	return [...largest.values()].reduce((sum, area) => sum + area, 0);
}

function activesIn(
	products: readonly ProductRow<ProductDetails>[],
	records: Map<string, RecordStored[]>,
): Statement['actives'] {
	const totals = new Map<string, { kg: number; treatedHa: number }>();
	for (const product of products) {
		const rows = records.get(product.id) ?? [];
		const amount = fromStockAmount(rows.reduce((sum, row) => sum + row.amount, 0));
		const treatedHa = toHectares(rows.reduce((sum, row) => sum + row.treatedM2, 0));
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
		say: kind === 'granules' ? NO_MIX_SPREAD : NO_MIX_ON_SEED,
	}));
	return ok({ ...found.value, jobs: [...found.value.jobs, ...withoutTank] });
}
