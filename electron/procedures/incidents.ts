import {
	addIncidentEntry,
	type IncidentStored,
	incidentEntries,
	newestIncidentEntries,
} from '../../db/modules/fills.ts';
import { findJob, namesOfJobs } from '../../db/modules/jobs.ts';
import { findProducts } from '../../db/modules/products.ts';
import { listMovements, type NewMovement, post, reversalOf } from '../../db/modules/store.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Incident } from '../../shared/contract/fills.ts';
import type { IncidentKind } from '../../shared/core/filling/yard-routines.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay, toInstant, toIso } from './clock.ts';
import { closeAgain } from './close-again.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { shelveCovered } from './reverse-load.ts';
import { drawFromShelf } from './shelf.ts';
import { storeSaid } from './stores.ts';

type Said = {
	readonly by: string;
	readonly storeId?: string | undefined;
	readonly productId?: string | undefined;
	readonly amount?: number | undefined;
	readonly mixL?: number | undefined;
	readonly wentTo?: string | undefined;
	readonly done?: string | undefined;
	readonly told?: string | undefined;
};

/** Logs an incident at once, with as much as is known. */
export async function logIncident(
	context: CommandContext,
	input: Said & {
		jobId?: string | undefined;
		load?: number | undefined;
		kind: IncidentKind;
		at?: string | undefined;
	},
): Promise<Result<Incident>> {
	const { tx, farm, now, newId } = context;
	if (input.jobId !== undefined && !(await findJob(tx, input.jobId)))
		return refuse('not.found', { what: 'job', id: input.jobId });
	return addEntry(
		context,
		{
			incidentId: newId(),
			seq: 1,
			farmId: farm.id,
			jobId: input.jobId ?? null,
			loadNumber: input.load ?? null,
			kind: input.kind,
			happenedAt: input.at ? toInstant(input.at, farm.zone) : now,
			productId: null,
			amount: null,
			mixL: null,
			wentTo: null,
			done: null,
			told: null,
			withdrawnWhy: null,
		},
		input,
	);
}

/** Adds what is known by now; what was said before stays on the books, and stands where nothing new is said. */
export async function completeIncident(
	context: CommandContext,
	input: Said & { id: string },
): Promise<Result<Incident>> {
	const before = (await incidentEntries(context.tx, input.id)).at(-1);
	if (!before) return refuse('not.found', { what: 'incident', id: input.id });
	if (before.withdrawnWhy !== null) return refuse('incident.withdrawn', { why: before.withdrawnWhy });
	return addEntry(context, { ...before, seq: before.seq + 1 }, input);
}

/** Takes a wrong incident out of every count; what it posted as spilled is mirrored. Its entries stay to be read. */
export async function withdrawIncident(
	context: CommandContext,
	{ id, why, by }: { id: string; why: string; by: string },
): Promise<Result<Incident>> {
	const { tx, farm, now, newId, signedBy } = context;
	const entries = await incidentEntries(tx, id);
	const before = entries.at(-1);
	if (!before) return refuse('not.found', { what: 'incident', id });
	if (before.withdrawnWhy !== null) return refuse('incident.withdrawn', { why: before.withdrawnWhy });
	signedBy(by);
	const spilt = entries.find(({ amount }) => amount !== null);
	if (spilt) await takeBackSpill(context, spilt, { why, by });
	const { userId, deviceId } = farm;
	const row = {
		...before,
		id: newId(),
		seq: before.seq + 1,
		withdrawnWhy: why,
		who: by,
		writtenAt: now,
		userId,
		deviceId,
	};
	await addIncidentEntry(tx, row);
	const [incident] = await incidentsOf(tx, [row], farm.zone);
	invariant(incident !== undefined, 'the incident withdrawn is told');
	return ok(incident);
}

/** The mirror of what the entry that named the product posted, but for what was corrected in the store since. */
async function takeBackSpill(
	context: CommandContext,
	{ productId, jobId, happenedAt, writtenAt }: IncidentStored,
	{ why, by }: { why: string; by: string },
): Promise<void> {
	const { tx } = context;
	if (productId === null) return;
	const posted = await listMovements(tx, { productId, from: happenedAt, to: happenedAt });
	const spills = posted.filter((row) => row.kind === 'spill' && row.postedAt === writtenAt && row.jobId === jobId);
	const mirror: NewMovement[] = [];
	for (const row of spills) {
		if (await reversalOf(tx, row.id)) continue;
		const { storeId, lotId, containerId, occurredAt, loadNumber, id: reverses } = row;
		const of = { productId, storeId, lotId, containerId, occurredAt, jobId, loadNumber, reverses };
		mirror.push({ ...of, kind: 'reversal', amount: -row.amount, who: by, why });
	}
	if (mirror.length === 0) return;
	await post(tx, context, mirror);
	await closeAgain(context, mirror, { why, by });
	const touched = Map.groupBy(mirror, ({ storeId }) => storeId).keys();
	for (const storeId of touched) await shelveCovered(context, { productId, storeId }, by);
}

type IncidentFilter = {
	readonly jobId?: string | undefined;
	readonly load?: number | undefined;
	readonly from?: string | undefined;
	readonly to?: string | undefined;
};

export async function listIncidents(
	{ db, farm }: QueryContext,
	{ from, to, ...of }: IncidentFilter,
): Promise<Result<Incident[]>> {
	const within = {
		...of,
		from: from === undefined ? undefined : startOfDay(from, farm.zone),
		to: to === undefined ? undefined : endOfDay(to, farm.zone),
	};
	return ok(await incidentsOf(db, await newestIncidentEntries(db, within), farm.zone));
}

type Known = Omit<IncidentStored, 'id' | 'who' | 'writtenAt' | 'userId' | 'deviceId'>;

async function addEntry(context: CommandContext, known: Known, said: Said): Promise<Result<Incident>> {
	const { tx, farm, now, newId, signedBy } = context;
	if ((said.productId === undefined) !== (said.amount === undefined)) return refuse('incident.amountAlone');
	signedBy(said.by);
	const spilled = said.amount === undefined ? null : toStockAmount(said.amount);
	if (said.productId !== undefined && spilled !== null) {
		const { productId, storeId, by } = said;
		const refused = await postSpill(context, known, { productId, storeId, amount: spilled, by });
		if (refused) return refused;
	}
	const { userId, deviceId } = farm;
	const row: IncidentStored = {
		...known,
		id: newId(),
		productId: said.productId ?? known.productId,
		amount: spilled ?? known.amount,
		mixL: said.mixL ?? known.mixL,
		wentTo: said.wentTo || known.wentTo,
		done: said.done || known.done,
		told: said.told || known.told,
		who: said.by,
		writtenAt: now,
		userId,
		deviceId,
	};
	await addIncidentEntry(tx, row);
	const [incident] = await incidentsOf(tx, [row], farm.zone);
	invariant(incident, 'one entry is one incident');
	return ok(incident);
}

/** It was spilled whatever the book holds: what is missing goes on as an open discrepancy. */
async function postSpill(
	context: CommandContext,
	known: Known,
	{ productId, storeId, amount, by }: { productId: string; storeId: string | undefined; amount: number; by: string },
) {
	const { tx, farm } = context;
	const product = (await findProducts<ProductDetails>(tx, [productId])).get(productId);
	if (!product) return refuse('not.found', { what: 'product', id: productId });
	if (known.amount !== null) {
		if (known.amount === amount && known.productId === productId) return null;
		return refuse('incident.posted', { product: product.name });
	}
	if (amount === 0) return refuse('input.invalid', { path: 'amount', why: 'is too small to book' });
	const job = known.jobId ? await findJob(tx, known.jobId) : null;
	const store = await storeSaid(tx, farm, storeId);
	if (!store.ok) return store;
	const drawn = await drawFromShelf(context, {
		productId,
		storeId: job && storeId === undefined ? detailsOf(job.job).storeId : store.value,
		amount,
		kind: 'spill',
		occurredAt: known.happenedAt,
		who: by,
		why: known.kind,
		jobId: known.jobId,
		loadNumber: known.loadNumber,
	});
	await post(tx, context, drawn);
	return null;
}

async function incidentsOf(db: ReadDb, rows: readonly IncidentStored[], zone: string): Promise<Incident[]> {
	const products = await findProducts<ProductDetails>(db, [
		...new Set(rows.flatMap(({ productId }) => productId ?? [])),
	]);
	const jobs = await namesOfJobs(db, new Set(rows.flatMap(({ jobId }) => jobId ?? [])));
	return rows.map((row): Incident => {
		const product = row.productId === null ? null : products.get(row.productId);
		invariant(product !== undefined, 'the lost product is on the books');
		return {
			id: row.incidentId,
			jobId: row.jobId,
			job: row.jobId === null ? null : (jobs.get(row.jobId) ?? null),
			load: row.loadNumber,
			kind: row.kind,
			happenedAt: toIso(row.happenedAt, zone),
			productId: row.productId,
			product: product?.name ?? null,
			unit: product?.unit ?? null,
			amount: row.amount === null ? null : fromStockAmount(row.amount),
			mixL: row.mixL,
			wentTo: row.wentTo,
			done: row.done,
			told: row.told,
			withdrawn:
				row.withdrawnWhy === null ? null : { why: row.withdrawnWhy, by: row.who, at: toIso(row.writtenAt, zone) },
			who: row.who,
			entries: row.seq,
		};
	});
}
