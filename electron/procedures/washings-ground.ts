import { currentGeometry, type FieldWithFigures, findField } from '../../db/modules/fields.ts';
import { findJob, jobProducts } from '../../db/modules/jobs.ts';
import { listRecords, recordCells } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonDates, seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { WashingsAhead } from '../../shared/contract/jobs-washings.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import type { UncheckedGeometry } from '../../shared/core/geometry/boundary.ts';
import { overlapM2 } from '../../shared/core/geometry/overlap.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { toHectares, toSquareMetres } from '../../shared/units/area.ts';
import { asPlanned } from './applied-product.ts';
import { dosePut } from './dose-put.ts';
import { loadFor } from './field-register.ts';
import { logDetails } from './job-details.ts';
import type { RestOfMix } from './rest-of-mix.ts';
import type { Leaving } from './washed-from-records.ts';

export type Drawn = UncheckedGeometry & { readonly type: 'Polygon' | 'MultiPolygon' };

/** Where washings went, as it is said. */
export type Part = {
	readonly fieldId: string;
	readonly areaHa: number;
	readonly over: 'sprayed ground' | 'unsprayed ground';
	/** Another job that had sprayed this ground. */
	readonly onJobId?: string | undefined;
	/** The part of the field, as it was drawn. */
	readonly ground?: Drawn | undefined;
};

/** The same with what the books know of it. */
export type Placed = Part & {
	readonly row: FieldWithFigures;
	readonly onJob: { readonly id: string; readonly name: string } | null;
	/** Products that are on this ground from the job that sprayed it. */
	readonly sprayedWith: ReadonlySet<string> | 'all';
	/** Ground that job had sprayed on the field; 0 where none is said to have. */
	readonly sprayedHa: number;
};

type Asked = { readonly date: string; readonly rest: RestOfMix; readonly parts: readonly Part[] };

/** The ground that was named, with what the register knows of it; one ground named twice is refused. */
export async function placed(db: ReadDb, farm: FarmRow, { date, rest, parts }: Asked): Promise<Result<Placed[]>> {
	const season = seasonOf(date, farm.seasonStartMonth);
	const found: Placed[] = [];
	for (const [index, part] of parts.entries()) {
		const at = `fields[${index}]`;
		const onJobId = part.onJobId === rest.job.id ? undefined : part.onJobId;
		const twice = found.some(
			({ fieldId, over, onJob, ground }) =>
				fieldId === part.fieldId && over === part.over && onJob?.id === onJobId && !(ground && part.ground),
		);
		if (twice) return refuse('input.invalid', { path: `${at}.fieldId`, why: 'the field stands twice' });
		if (onJobId !== undefined && part.over === 'unsprayed ground') {
			const why = 'unsprayed ground was sprayed by no job';
			return refuse('input.invalid', { path: `${at}.onJobId`, why });
		}
		const row = await findField(db, part.fieldId, season);
		if (!row) return refuse('not.found', { what: 'field', id: part.fieldId });
		const other = onJobId === undefined ? null : await findJob(db, onJobId);
		if (onJobId !== undefined && !other) return refuse('not.found', { what: 'job', id: onJobId });
		if (part.ground) {
			const drawn = measure({ geometry: part.ground });
			if (!drawn.ok) return drawn;
		}
		const onJob = other ? { id: other.job.id, name: other.job.name } : null;
		const sprayed = onJob ? await sprayedBy(db, onJob.id, part.fieldId) : null;
		found.push({
			...part,
			row,
			onJob,
			sprayedWith: sprayed ? new Set(sprayed.keys()) : 'all',
			sprayedHa: sprayed ? Math.max(0, ...sprayed.values()) : sprayedHa(rest, part.fieldId),
		});
	}
	return ok(found);
}

/** Ground of this job on a field, by its logs. */
export function sprayedHa({ logs }: RestOfMix, fieldId: string): number {
	const parts = logs.flatMap((log) => logDetails(log).ground).filter((part) => part.fieldId === fieldId);
	return parts.reduce((sum, { areaHa }) => sum + areaHa, 0);
}

/** Hectares of a field that a job had sprayed with each product. */
async function sprayedBy(db: ReadDb, jobId: string, fieldId: string): Promise<Map<string, number>> {
	const records = await recordCells(db, ['productId', 'treatedM2', 'washedM2'], { jobId, fieldId });
	const passes = records.filter(({ washedM2 }) => washedM2 === null);
	return new Map(
		[...Map.groupBy(passes, ({ productId }) => productId)].map(([productId, own]) => [
			productId,
			toHectares(own.reduce((sum, { treatedM2 }) => sum + treatedM2, 0)),
		]),
	);
}

const MOST_JOBS = 8;

/** Other jobs of the season that sprayed a field, newest first: their ground may have taken the washings. */
export async function otherJobsOn(
	db: ReadDb,
	farm: FarmRow,
	{ fieldId, date, rest }: { readonly fieldId: string; readonly date: string; readonly rest: RestOfMix },
): Promise<WashingsAhead['fields'][number]['otherJobs']> {
	const { from } = seasonDates(seasonOf(date, farm.seasonStartMonth), farm.seasonStartMonth);
	const records = await recordCells(db, ['jobId', 'sprayDate', 'washedM2'], { fieldId, from, to: date });
	const newest = new Map<string, string>();
	for (const { jobId, sprayDate, washedM2 } of records) {
		if (washedM2 === null && jobId !== rest.job.id && !newest.has(jobId)) newest.set(jobId, sprayDate);
	}
	const jobs: WashingsAhead['fields'][number]['otherJobs'] = [];
	for (const [jobId, on] of [...newest].slice(0, MOST_JOBS)) {
		const found = await findJob(db, jobId);
		if (found) jobs.push({ jobId, job: found.job.name, on });
	}
	return jobs;
}

type Washed = { readonly rest: RestOfMix; readonly leaving: Leaving };

/**
 * The dose of each product that is on this ground already from the job that sprayed it; of this job what leaves its
 * records for the washings is taken off.
 */
export async function dosesOn(
	db: ReadDb,
	farm: FarmRow,
	{ fieldId, over, onJob }: Pick<Placed, 'fieldId' | 'over' | 'onJob'>,
	{ rest, leaving }: Washed,
): Promise<ReadonlyMap<string, number>> {
	if (over === 'unsprayed ground') return new Map();
	const jobId = onJob?.id ?? rest.job.id;
	const records = await listRecords(db, { jobId, fieldId });
	const planned = new Map((await jobProducts(db, [jobId])).map(({ line }) => [line.productId, line.dose]));
	return new Map(
		[...Map.groupBy(records, ({ productId }) => productId)].map(([productId, own]) => {
			const passes = own.filter(({ washedM2 }) => washedM2 === null);
			const before = own.filter(({ washedM2, treatedM2 }) => washedM2 !== null && treatedM2 === 0);
			const doses = passes.map((row) =>
				asPlanned(dosePut({ ...row, amount: row.amount - (leaving.get(row.recordId)?.amount ?? 0) }), {
					planned: planned.get(productId) ?? 0,
					stepPerHa: farm.measureStep / toHectares(row.treatedM2),
				}),
			);
			return [productId, Math.max(0, ...doses) + before.reduce((sum, row) => sum + dosePut(row), 0)];
		}),
	);
}

/** Drawn by hand, two grounds that should meet overlap by this much without anyone's error. Common practice. */
const DRAWN_LOOSELY_M2 = 25;

type Say = { readonly limit: number | null; readonly value: number; readonly source: string; readonly say: string };

/** Ground that cannot be right: more than was sprayed or is there, on a strip, outside the field. What was done is told, never stopped. */
export async function groundFindings(db: ReadDb, rest: RestOfMix, part: Placed): Promise<LimitFinding[]> {
	const { row } = part;
	const said = [...tooMuch(rest, part), ...(await wrongPlace(db, part))];
	return said.map((line) => ({
		fieldId: row.field.id,
		field: row.field.name,
		kind: 'ground',
		verdict: 'warn',
		unit: 'ha',
		records: [],
		...line,
	}));
}

function tooMuch(rest: RestOfMix, { row, areaHa, over, onJob, sprayedHa: sprayed, ground }: Placed): Say[] {
	const { name: field } = row.field;
	const job = onJob ? `The job ${onJob.name}` : 'This job';
	const said: Say[] = [];
	const source = 'loads logged of this job';
	if (over === 'sprayed ground' && areaHa > sprayed * (1 + 1e-9)) {
		const say =
			sprayed === 0
				? `${job} sprayed nothing on ${field}: it is unsprayed ground.`
				: `${job} sprayed ${short(sprayed)} ha of ${field}, less than the washings are said to lie on.`;
		said.push({ limit: sprayed, value: areaHa, source, say });
	}
	const wholeM2 = loadFor(row).m2;
	const freeHa = wholeM2 === null ? null : Math.max(0, toHectares(wholeM2) - sprayedHa(rest, row.field.id));
	if (over === 'unsprayed ground' && freeHa !== null && areaHa > freeHa + 0.005) {
		const say =
			freeHa < 0.005
				? `By the register this job left nothing of ${field} unsprayed.`
				: `By the register this job left ${short(freeHa)} ha of ${field} unsprayed, less than the washings are said to lie on.`;
		said.push({ limit: freeHa, value: areaHa, source, say });
	}
	const drawn = ground ? measure({ geometry: ground }) : null;
	if (drawn?.ok && Math.abs(drawn.value.areaHa - areaHa) > Math.max(0.01, 0.02 * drawn.value.areaHa)) {
		const say = `The part of ${field} that is drawn has ${short(drawn.value.areaHa)} ha, not ${short(areaHa)} ha.`;
		said.push({ limit: drawn.value.areaHa, value: areaHa, source: 'the part as drawn', say });
	}
	return said;
}

async function wrongPlace(db: ReadDb, { row, ground }: Placed): Promise<Say[]> {
	if (!ground) return [];
	const said: Say[] = [];
	const drawn = measure({ geometry: ground });
	const boundary = await currentGeometry(db, row.field.id);
	if (boundary !== null && drawn.ok) {
		const inside = overlapM2(ground, JSON.parse(boundary) as Drawn);
		const outsideM2 = inside.ok ? toSquareMetres(drawn.value.areaHa) - inside.value : 0;
		if (outsideM2 > DRAWN_LOOSELY_M2) {
			const say = `${short(toHectares(outsideM2))} ha of what is drawn lie outside ${row.field.name}.`;
			said.push({ limit: 0, value: toHectares(outsideM2), source: 'boundary of the field', say });
		}
	}
	for (const { kind, label, geometry } of row.strips) {
		if (geometry === null) continue;
		const on = overlapM2(ground, JSON.parse(geometry) as Drawn);
		if (!on.ok || on.value <= DRAWN_LOOSELY_M2) continue;
		const what = kind === 'strip' ? `the no-spray strip ${label}` : `the obstacle ${label}`;
		const say = `${short(toHectares(on.value))} ha of what is drawn lie on ${what}: washings must keep off it.`;
		said.push({ limit: 0, value: toHectares(on.value), source: 'strips of the field', say });
	}
	return said;
}

/** To the are, or to the square metre where it is less. */
function short(areaHa: number): string {
	return areaHa >= 0.01 ? areaHa.toFixed(2) : areaHa.toFixed(4);
}
