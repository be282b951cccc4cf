import { findField, listFields } from '../../db/modules/fields.ts';
import { jobFields, jobProducts, listJobs, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import {
	bookAmounts,
	listCounts,
	listMovements,
	lotsOf,
	type MovementStored,
	sumsByKind,
} from '../../db/modules/store.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Statement } from '../../shared/contract/season.ts';
import type { SeasonReconciliation } from '../../shared/contract/season-reconcile.ts';
import { activeSubstance } from '../../shared/core/products/active-substance.ts';

const reconcileSeason = (_: unknown): unknown => {
	throw new Error('pending');
};

import type { Booking, SeasonBooks, SeasonJob, SeasonLoad } from '../../shared/core/reconcile/season-books.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { type JobClosing, logDetails, planOf } from './jobs.ts';
import type { ProductDetails } from './products.ts';
import { recordLine } from './records.ts';

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
				used: -of('load', 'load reversal'),
				otherOut: -of('disposal', 'mix disposal', 'return', 'spill', 'transfer', 'loan', 'reversal'),
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
		if (first) largest.set(first.fieldId, Math.max(largest.get(first.fieldId) ?? 0, area));
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

/** Ground, tank and store of a period, held against each other. */
export async function reconcileBooks(context: QueryContext, period: Period): Promise<Result<SeasonReconciliation>> {
	if (period.to < period.from) return refuse('period.reversed', period);
	return ok(reconcileSeason(await gatherBooks(context, period)) as SeasonReconciliation);
}

async function gatherBooks({ db, farm }: QueryContext, { from, to }: Period): Promise<SeasonBooks> {
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const dateOf = (at: number) => toLocalDate(at, farm.zone);
	const products = await listProducts<ProductDetails>(db);
	const counts = Map.groupBy(await listCounts(db, { to: end }), ({ productId }) => productId);
	const all = Map.groupBy(await listMovements(db, {}), ({ productId }) => productId);
	const lots = await lotsOf(db);
	const ground = Map.groupBy(await listRecords(db, { from, to }), ({ productId }) => productId);
	const seasonProducts = products.map((product) => {
		const movements = all.get(product.id) ?? [];
		const used = countsOfPeriod(counts.get(product.id) ?? [], movements, start);
		const first = used[0]?.at ?? start;
		return {
			productId: product.id,
			name: product.name,
			unit: product.unit,
			packSizes: product.packSizes,
			measureStep: farm.measureStep,
			ground: fromStockAmount((ground.get(product.id) ?? []).reduce((sum, row) => sum + row.amount, 0)),
			counts: used.map(({ at, amount, opened }) => ({
				at,
				date: dateOf(at),
				amount: fromStockAmount(amount),
				openedContainers: opened,
			})),
			bookings: movements
				.filter((row) => !['load', 'load reversal', 'opening', 'count adjustment'].includes(row.kind))
				.filter((row) => row.occurredAt > first && row.occurredAt <= end)
				.map((row): Booking => {
					const size = row.lotId ? lots.get(row.lotId)?.packSize : undefined;
					return {
						at: row.occurredAt,
						date: dateOf(row.occurredAt),
						kind: row.kind,
						amount: fromStockAmount(row.amount),
						packSize: size === undefined || row.containerId ? null : fromStockAmount(size),
						document: row.document,
					};
				}),
		};
	});
	const earliest = Math.min(start, ...seasonProducts.flatMap(({ counts: used }) => used.map(({ at }) => at)));
	return { from, to, products: seasonProducts, ...(await gatherJobs({ db, farm, start, end, earliest })) };
}

type CountUsed = { readonly at: number; readonly amount: number; readonly opened: number };

/** The last count before the period, those in it; a book that began empty in the period begins with a count of nothing. */
function countsOfPeriod(
	counts: readonly { freezeAt: number; counted: number }[],
	movements: readonly MovementStored[],
	start: number,
): CountUsed[] {
	const sorted = [...counts].sort((a, b) => a.freezeAt - b.freezeAt);
	const before = sorted.filter(({ freezeAt }) => freezeAt < start).at(-1);
	const inside = sorted.filter(({ freezeAt }) => freezeAt >= start);
	const used = (before ? [before, ...inside] : inside).map(({ freezeAt, counted }) => ({
		at: freezeAt,
		amount: counted,
		opened: openedAt(movements, freezeAt),
	}));
	const began = movements.reduce((first, { occurredAt }) => Math.min(first, occurredAt), Infinity);
	if (!before && Number.isFinite(began) && began >= start) return [{ at: began - 1, amount: 0, opened: 0 }, ...used];
	return used;
}

/** Opened containers that the book held at a time. */
function openedAt(movements: readonly MovementStored[], at: number): number {
	const left = new Map<string, number>();
	for (const row of movements) {
		if (row.containerId && row.occurredAt <= at) {
			left.set(row.containerId, (left.get(row.containerId) ?? 0) + row.amount);
		}
	}
	return [...left.values()].filter((amount) => amount > 0).length;
}

type Span = Pick<QueryContext, 'db' | 'farm'> & {
	readonly start: number;
	readonly end: number;
	readonly earliest: number;
};

async function gatherJobs({
	db,
	farm,
	start,
	end,
	earliest,
}: Span): Promise<{ loads: SeasonLoad[]; jobs: SeasonJob[] }> {
	const rows = await listJobs(db);
	const ids = rows.map(({ job }) => job.id);
	const fieldsOf = Map.groupBy(await jobFields(db, ids), ({ line }) => line.jobId);
	const productsOf = Map.groupBy(await jobProducts(db, ids), ({ line }) => line.jobId);
	const logsOf = Map.groupBy(standing(await loadLogs(db)), ({ jobId }) => jobId);
	const drawn = Map.groupBy(
		(await listMovements(db, { from: earliest, to: end })).filter(({ kind }) => kind === 'load'),
		({ loadLogId }) => loadLogId,
	);
	const loads: SeasonLoad[] = [];
	const jobs: SeasonJob[] = [];
	for (const { job, sprayer } of rows) {
		const plan = planOf(job);
		const logs = (logsOf.get(job.id) ?? []).filter(({ startedAt }) => startedAt >= earliest && startedAt <= end);
		const planned = startOfDay(job.sprayDate, farm.zone);
		for (const line of plan.loads) {
			const own = logs.filter(({ loadNumber }) => loadNumber === line.load);
			const at = own[0]?.startedAt ?? planned;
			if (at < earliest || at > end) continue;
			loads.push({
				loadId: own[0]?.id ?? `${job.id}/${line.load}`,
				jobId: job.id,
				load: line.load,
				at,
				date: toLocalDate(at, farm.zone),
				newMixL: line.newMixL,
				logged: own.length > 0,
				products: (productsOf.get(job.id) ?? []).map(({ line: { productId } }) => {
					const wanted = line.products.find((part) => part.productId === productId);
					const poured = own.flatMap((log) => logDetails(log).products).filter((part) => part.productId === productId);
					const taken = own.flatMap(({ id }) => drawn.get(id) ?? []).filter((row) => row.productId === productId);
					const measured = taken.filter(({ containerId }) => containerId !== null);
					return {
						productId,
						planned: wanted?.amount ?? 0,
						poured: fromStockAmount(poured.reduce((sum, { amount }) => sum + toStockAmount(amount), 0)),
						measured: -fromStockAmount(measured.reduce((sum, { amount }) => sum + amount, 0)),
						wholePacks: taken.length - measured.length,
						confirmed: own.length > 0 && own.every(({ confirmed }) => confirmed === 1),
					};
				}),
			});
		}
		const inPeriod = logs.filter(({ startedAt }) => startedAt >= start);
		if (inPeriod.length === 0) continue;
		const closing = job.closing ? (JSON.parse(job.closing) as JobClosing) : null;
		const loaded = new Map<string, number>();
		const logged = new Set(inPeriod.map(({ loadNumber }) => loadNumber));
		const done = plan.loads.filter(({ load }) => logged.has(load));
		for (const { fieldId, areaHa } of done.flatMap(({ ground }) => ground)) {
			loaded.set(fieldId, (loaded.get(fieldId) ?? 0) + areaHa);
		}
		const season = seasonOf(job.sprayDate, farm.seasonStartMonth);
		const fields: SeasonJob['fields'][number][] = [];
		for (const { line, name } of fieldsOf.get(job.id) ?? []) {
			const areaHa = loaded.get(line.fieldId);
			if (areaHa === undefined) continue;
			const row = await findField(db, line.fieldId, season);
			const sigma = row?.boundary ? toHectares(row.boundary.sigmaM2) : null;
			fields.push({ fieldId: line.fieldId, name, areaHa, areaSigmaHa: sigma });
		}
		jobs.push({
			jobId: job.id,
			name: job.name,
			date: job.sprayDate,
			sprayerId: job.sprayerId,
			sprayer,
			sprayVolumeLPerHa: job.sprayVolume,
			areaLoadedForHa: done.reduce((sum, { areaHa }) => sum + areaHa, 0),
			fields,
			counterHa: closing?.sprayedHa ?? null,
			controllerL: closing?.controllerL ?? null,
			leftL: closing?.leftL ?? null,
			ranOutHa: closing?.ranOutHa ?? null,
			carriedInL: plan.loads[0]?.carriedInL ?? 0,
			mixedL: done.reduce((sum, { load, newMixL, displacementL }) => {
				const metered = inPeriod.filter(({ loadNumber, meteredL }) => loadNumber === load && meteredL !== null);
				const water = metered.reduce((litres, { meteredL }) => litres + (meteredL ?? 0), 0);
				return sum + (metered.length > 0 ? water + displacementL : newMixL);
			}, 0),
			rinseL: 0,
			unsprayableL: (plan.loads.at(-1)?.carriedInL ?? 0) * (plan.loads.length > 1 ? 1 : 0),
			spilledL: 0,
		});
	}
	return { loads, jobs };
}
