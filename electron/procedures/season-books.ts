import { findField } from '../../db/modules/fields.ts';
import { newestIncidentEntries } from '../../db/modules/fills.ts';
import { jobFields, jobProducts, listJobs, loadLogs, standing } from '../../db/modules/jobs.ts';
import { listProducts } from '../../db/modules/products.ts';
import { listSprayers } from '../../db/modules/sprayers.ts';
import {
	type CountStored,
	type LotStored,
	listCounts,
	listMovements,
	lotsOf,
	type MovementStored,
} from '../../db/modules/store.ts';
import { listWashings, standingWashings } from '../../db/modules/washings.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { type ApplicationKind, needsTank } from '../../shared/core/loads/application-kind.ts';
import { readingsOfTheJob } from '../../shared/core/reconcile/end-readings.ts';
import type { Booking, SeasonBooks, SeasonJob, SeasonLoad } from '../../shared/core/reconcile/season-books.ts';
import { countsTogether } from '../../shared/core/store/counts-together.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { closingOf, detailsOf, logDetails, planOf, quantityOf, quantityTreated } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import type { SprayerDetails } from './sprayers.ts';
import { detailsOfWashings } from './washings.ts';

/** A job of the period that filled no tank: it has amounts and ground, but no mix to hold against them. */
export type WithoutTank = { readonly jobId: string; readonly kind: ApplicationKind };

type Period = { readonly from: string; readonly to: string };

/** What the books say about a period, as the comparison of ground, tank and store takes it. */
export async function gatherBooks(
	{ db, farm }: QueryContext,
	{ from, to }: Period,
): Promise<SeasonBooks & { readonly withoutTank: readonly WithoutTank[] }> {
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const dateOf = (at: number) => toLocalDate(at, farm.zone);
	const products = await listProducts<ProductDetails>(db);
	const counts = Map.groupBy(await listCounts(db, { store: 'all', to: end }), ({ productId }) => productId);
	const all = Map.groupBy(withoutTakenBack(await listMovements(db, {})), ({ productId }) => productId);
	const lots = await lotsOf(db);
	const seasonProducts = products.map((product) => {
		const movements = all.get(product.id) ?? [];
		const carried = carriedBetweenStores(movements);
		const used = countsOfPeriod(counts.get(product.id) ?? [], movements, start);
		const first = used[0]?.at ?? start;
		return {
			productId: product.id,
			name: product.name,
			unit: product.unit,
			packSizes: product.packSizes,
			measureStep: farm.measureStep,
			counts: used.map(({ at, amount, opened }) => ({
				at,
				date: dateOf(at),
				amount: fromStockAmount(amount),
				openedContainers: opened,
			})),
			bookings: movements
				.filter(
					(row) => !['load', 'load reversal', 'opening', 'count adjustment'].includes(row.kind) && !carried.has(row.id),
				)
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
	const { ground, loads, jobs, withoutTank } = await gatherJobs({ db, farm, start, end, earliest, lots });
	return {
		from,
		to,
		products: seasonProducts.map((product) => ({ ...product, ground: ground.get(product.productId) ?? 0 })),
		loads,
		jobs,
		withoutTank,
	};
}

/** A booking that was reversed never happened: neither it nor its reversal is there to be suspected. */
function withoutTakenBack(movements: readonly MovementStored[]): MovementStored[] {
	const reversed = new Set(movements.flatMap(({ kind, reverses }) => (kind === 'reversal' ? (reverses ?? []) : [])));
	return movements.filter(({ id, kind }) => kind !== 'reversal' && !reversed.has(id));
}

/** Both sides of moves between own stores: on the farm as a whole nothing came or went. */
function carriedBetweenStores(movements: readonly MovementStored[]): Set<string> {
	const moves = Map.groupBy(
		movements.filter(({ kind }) => kind === 'transfer'),
		({ eventId, lotId, containerId }) => `${eventId} ${lotId} ${containerId}`,
	);
	const cancel = [...moves.values()].filter((rows) => rows.reduce((sum, { amount }) => sum + amount, 0) === 0);
	return new Set(cancel.flat().map(({ id }) => id));
}

type CountUsed = { readonly at: number; readonly amount: number; readonly opened: number };

/** The last count before the period, those in it; a book that began empty in the period begins with a count of nothing. */
function countsOfPeriod(
	counts: readonly CountStored[],
	movements: readonly MovementStored[],
	start: number,
): CountUsed[] {
	const sorted = countsTogether(
		counts.map(({ storeId, freezeAt, counted }) => ({ store: storeId, freezeAt, counted })),
		movements.map(({ storeId, occurredAt, amount }) => ({ store: storeId, occurredAt, amount })),
	);
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
	readonly lots: ReadonlyMap<string, LotStored>;
};

async function gatherJobs({ db, farm, start, end, earliest, lots }: Span): Promise<{
	/** Dose × treated area by product, by the machine's own counter where it was reported; on seed, or in a closed space, dose × what was treated. */
	ground: Map<string, number>;
	loads: SeasonLoad[];
	jobs: SeasonJob[];
	withoutTank: WithoutTank[];
}> {
	const rows = await listJobs(db);
	const ids = rows.map(({ job }) => job.id);
	const fieldsOf = Map.groupBy(await jobFields(db, ids), ({ line }) => line.jobId);
	const productsOf = Map.groupBy(await jobProducts(db, ids), ({ line }) => line.jobId);
	const logsOf = Map.groupBy(standing(await loadLogs(db)), ({ jobId }) => jobId);
	const drawn = Map.groupBy(
		(await listMovements(db, { from: earliest, to: end })).filter(({ kind }) => kind === 'load'),
		({ loadLogId }) => loadLogId,
	);
	const unsprayable = new Map(
		(await listSprayers<SprayerDetails>(db)).map(({ id, unsprayableL }) => [id, unsprayableL]),
	);
	const washedOf = Map.groupBy(standingWashings(await listWashings(db)), ({ jobId }) => jobId);
	const spiltOf = Map.groupBy(
		(await newestIncidentEntries(db, { from: start, to: end })).filter(({ withdrawnWhy }) => withdrawnWhy === null),
		({ jobId }) => jobId,
	);
	const packsOf = (sealed: readonly MovementStored[]) =>
		sealed.reduce((packs, { amount, lotId }) => packs - amount / (lots.get(lotId ?? '')?.packSize ?? amount), 0);
	const ground = new Map<string, number>();
	const loads: SeasonLoad[] = [];
	const jobs: SeasonJob[] = [];
	const withoutTank: WithoutTank[] = [];
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
						wholePacks: packsOf(taken.filter(({ containerId }) => containerId === null)),
						confirmed: own.length > 0 && own.every(({ confirmed }) => confirmed === 1),
					};
				}),
			});
		}
		const inPeriod = logs.filter(({ startedAt }) => startedAt >= start);
		if (inPeriod.length === 0) continue;
		const closing = closingOf(job);
		const read = closing && readingsOfTheJob(closing);
		const washed = washedOf.get(job.id) ?? [];
		// What was left was washed out: then it was told with the washings.
		const leftL = closing?.leftL ?? (closing?.ranOutHa ? null : washed[0]?.leftL) ?? null;
		const loaded = new Map<string, number>();
		const logged = new Set(inPeriod.map(({ loadNumber }) => loadNumber));
		const done = plan.loads.filter(({ load }) => logged.has(load));
		for (const { fieldId, areaHa } of done.flatMap(({ ground }) => ground)) {
			loaded.set(fieldId, (loaded.get(fieldId) ?? 0) + areaHa);
		}
		const treatedHa = inPeriod.flatMap((log) => logDetails(log).ground).reduce((sum, { areaHa }) => sum + areaHa, 0);
		const quantity = quantityOf(detailsOf(job));
		for (const { line } of productsOf.get(job.id) ?? []) {
			const onGround = quantity
				? (line.dose * quantityTreated(inPeriod)) / quantity.per
				: line.dose * (read?.counterHa ?? treatedHa);
			ground.set(line.productId, (ground.get(line.productId) ?? 0) + onGround);
		}
		// Washings went onto ground as well: of what was poured beyond dose × area.
		for (const { productId, amount } of washed.flatMap((row) => detailsOfWashings(row).products)) {
			ground.set(productId, (ground.get(productId) ?? 0) + amount);
		}
		if (!needsTank(job.kind)) {
			withoutTank.push({ jobId: job.id, kind: job.kind });
			continue;
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
			counterHa: read?.counterHa ?? null,
			controllerL: read?.controllerL ?? null,
			leftL,
			ranOutHa: closing?.ranOutHa ?? null,
			carriedInL: plan.loads[0]?.carriedInL ?? 0,
			mixedL: done.reduce((sum, { load, newMixL, displacementL }) => {
				const metered = inPeriod.filter(({ loadNumber, meteredL }) => loadNumber === load && meteredL !== null);
				const water = metered.reduce((litres, { meteredL }) => litres + (meteredL ?? 0), 0);
				return sum + (metered.length > 0 ? water + displacementL : newMixL);
			}, 0),
			rinseL: inPeriod.reduce((sum, log) => sum + (logDetails(log).rinsedL ?? 0), 0),
			// What was left is told with sump and lines.
			unsprayableL: leftL === null ? (unsprayable.get(job.sprayerId) ?? 0) : 0,
			spilledL: (spiltOf.get(job.id) ?? []).reduce((sum, { mixL }) => sum + (mixL ?? 0), 0),
		});
	}
	return { ground, loads, jobs, withoutTank };
}
