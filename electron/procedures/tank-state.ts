import { findField } from '../../db/modules/fields.ts';
import { type CleaningStored, lastRinsedOut, listCleanings } from '../../db/modules/fills.ts';
import {
	type JobStored,
	jobFields,
	jobProducts,
	listJobs,
	loadLogs,
	productNamesOfJobs,
	standing,
} from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { findSprayer, listSprayers } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { CarriedOver, Cleaning, TankState } from '../../shared/contract/fills-tank.ts';
import { carryOver, isHerbicide, type LeftIn, type NextCrop } from '../../shared/core/sprayers/carry-over.ts';
import { endOfDay, startOfDay, toIso, toLocalDate } from './clock.ts';
import type { RinsedOut } from './fills.ts';
import type { QueryContext } from './handler.ts';
import { overLoads, planOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import type { SprayerDetails } from './sprayers.ts';

/** What was in the tank last, whether it was rinsed out since, and the next job of this sprayer. */
export async function tankState(
	{ db, farm }: QueryContext,
	{ sprayerId }: { sprayerId: string },
): Promise<Result<TankState>> {
	if (!(await findSprayer<SprayerDetails>(db, sprayerId)))
		return refuse('not.found', { what: 'sprayer', id: sprayerId });
	const carried = await carriedIn(db, sprayerId);
	const { jobs, logs, last } = carried;
	const next = jobs
		.filter((job) => !job.closing && job.id !== last?.job.id)
		.filter((job) => {
			const over = overLoads(
				planOf(job),
				logs.filter((log) => log.jobId === job.id),
			);
			return over.size < planOf(job).loads.length;
		})
		.toSorted((a, b) => (a.sprayDate < b.sprayDate ? -1 : 1))[0];
	return ok({
		...(await saidOf(db, farm, sprayerId, carried)),
		next: next
			? {
					jobId: next.id,
					job: next.name,
					date: next.sprayDate,
					crops: (
						await cropsOf(
							db,
							farm,
							(await jobFields(db, [next.id])).map(({ line }) => line.fieldId),
							next.sprayDate,
						)
					).map(([name]) => name),
					products: (await jobProducts(db, [next.id])).map(({ name }) => name),
				}
			: null,
	});
}

/** What a rest of the last mix could do on the crops sprayed next. The same mix again is no other. */
export async function carriedOver(
	{ db, farm, now }: QueryContext,
	input: {
		sprayerId: string;
		fieldIds: string[];
		productIds: string[];
		date?: string | undefined;
		jobId?: string | undefined;
	},
): Promise<Result<CarriedOver>> {
	const { sprayerId, jobId } = input;
	if (!(await findSprayer<SprayerDetails>(db, sprayerId)))
		return refuse('not.found', { what: 'sprayer', id: sprayerId });
	const carried = await carriedIn(db, sprayerId, jobId);
	const said = await saidOf(db, farm, sprayerId, carried);
	const products = carried.last ? await productsOf(db, carried.last.job.id) : [];
	const before = new Set(products.map(({ id }) => id));
	const sameMix = input.productIds.length === before.size && input.productIds.every((id) => before.has(id));
	if (sameMix) return ok({ ...said, notes: [] });
	const crops = await cropsOf(db, farm, input.fieldIds, input.date ?? toLocalDate(now, farm.zone));
	// Oils and conditioners without an active substance leave nothing that a crop would mind.
	const active = products.filter(({ actives }) => actives.length > 0);
	const notes = carryOver(active.map(leftIn), crops);
	return ok({ ...said, notes: notes.map((note) => ({ ...note, crops: [...note.crops] })) });
}

/** Clean-downs and rinsings out, each with what had been in the tank before it. */
export async function listCleaned(
	{ db, farm }: QueryContext,
	{ sprayerId, from, to }: { sprayerId?: string | undefined; from?: string | undefined; to?: string | undefined },
): Promise<Result<Cleaning[]>> {
	const within = {
		sprayerId,
		from: from === undefined ? undefined : startOfDay(from, farm.zone),
		to: to === undefined ? undefined : endOfDay(to, farm.zone),
	};
	const rows = await listCleanings(db, within);
	if (rows.length === 0) return ok([]);
	const sprayers = new Map((await listSprayers<SprayerDetails>(db)).map(({ id, name }) => [id, name]));
	const products = await productNamesOfJobs(db, new Set(rows.flatMap(({ afterJobId }) => afterJobId ?? [])));
	return ok(
		rows.map((row): Cleaning => {
			// After a fill the tank holds the mix of that load, before it is sprayed.
			const { afterJobId: jobId, afterJob: job } = row;
			return {
				id: row.id,
				sprayerId: row.sprayerId,
				sprayer: sprayers.get(row.sprayerId) ?? '?',
				kind: row.kind,
				at: toIso(row.at, farm.zone),
				who: row.who,
				jobId: row.jobId,
				job: row.jobId === null ? null : job,
				load: row.loadNumber,
				...cleaned(row),
				before:
					jobId !== null && job !== null
						? {
								jobId,
								job,
								on: toLocalDate(row.begunAt ?? row.at, farm.zone),
								products: products.get(jobId) ?? [],
							}
						: null,
			};
		}),
	);
}

function cleaned({ kind, details }: CleaningStored) {
	if (kind === 'after filling') {
		const { tasks } = JSON.parse(details) as { tasks: string[] };
		return { tasks, residualL: null, rinsesL: [], factor: null, washings: null, note: null };
	}
	const { residualL, rinsesL, factor, washings, note } = JSON.parse(details) as RinsedOut;
	return { tasks: [], residualL, rinsesL: [...rinsesL], factor, washings, note };
}

/** The jobs and logs of a sprayer, and the load it carried last; null where that was of the job itself. */
async function carriedIn(db: ReadDb, sprayerId: string, butForJob?: string) {
	const jobs = (await listJobs(db)).map(({ job }) => job).filter((job) => job.sprayerId === sprayerId);
	const logs = await loadLogs(
		db,
		jobs.map(({ id }) => id),
	);
	const log = standing(logs)
		.toSorted((a, b) => a.finishedAt - b.finishedAt)
		.at(-1);
	const job = jobs.find(({ id }) => id === log?.jobId && id !== butForJob);
	return { jobs, logs, last: log && job ? { log, job } : null };
}

type Carried = { readonly last: { readonly log: { readonly finishedAt: number }; readonly job: JobStored } | null };

/** The last mix and the rinsing out after it, as they are told. */
async function saidOf(db: ReadDb, farm: FarmRow, sprayerId: string, { last }: Carried) {
	const cleaned = await lastRinsedOut(db, sprayerId);
	const since = cleaned && (last === null || cleaned.at >= last.log.finishedAt) ? cleaned : null;
	const rinsed = since ? (JSON.parse(since.details) as RinsedOut) : null;
	return {
		last: last
			? {
					jobId: last.job.id,
					job: last.job.name,
					on: toLocalDate(last.log.finishedAt, farm.zone),
					products: (await productsOf(db, last.job.id)).map(({ name, actives, cautions }) => ({
						name,
						substances: actives.map(({ substance }) => substance),
						cautions: cautions ?? null,
					})),
				}
			: null,
		rinsedOut:
			since && rinsed
				? {
						at: toIso(since.at, farm.zone),
						who: since.who,
						factor: rinsed.factor,
						washings: rinsed.washings,
						note: rinsed.note,
					}
				: null,
	};
}

async function productsOf(db: ReadDb, jobId: string): Promise<ProductRow<ProductDetails>[]> {
	const ids = (await jobProducts(db, [jobId])).map(({ line }) => line.productId);
	const products = await findProducts<ProductDetails>(db, ids);
	return ids.flatMap((id) => products.get(id) ?? []);
}

function leftIn({ name, actives, limits }: ProductRow<ProductDetails>): LeftIn {
	const allowed = limits.filter(({ kind }) => kind === 'crop').flatMap(({ crops, crop }) => crops ?? crop ?? []);
	return {
		name,
		herbicide: isHerbicide(actives.map(({ modeOfAction }) => modeOfAction)),
		crops: allowed.length > 0 ? allowed : null,
	};
}

async function cropsOf(db: ReadDb, farm: FarmRow, fieldIds: readonly string[], date: string): Promise<NextCrop[]> {
	const crops = new Map<string, NextCrop>();
	for (const fieldId of fieldIds) {
		const crop = (await findField(db, fieldId, seasonOf(date, farm.seasonStartMonth)))?.crop;
		if (crop) crops.set(crop.crop, crop.eppoCode === null ? [crop.crop] : [crop.crop, crop.eppoCode]);
	}
	return [...crops.values()];
}
