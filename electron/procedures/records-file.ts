import { chainHead } from '../../db/chain.ts';
import { currentGeometry, listFields } from '../../db/modules/fields.ts';
import { jobsById } from '../../db/modules/jobs.ts';
import { listRecords, type RecordStored } from '../../db/modules/records.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import {
	type DistancesToWater,
	type FiledRecord,
	RECORD_FILE_ID,
	type RecordFile,
} from '../../shared/contract/records-file.ts';
import { readBoundary, type UncheckedGeometry } from '../../shared/core/geometry/boundary.ts';
import { pointInside } from '../../shared/core/geometry/point-inside.ts';
import type { Assessed, MarginKept } from '../../shared/core/limits/margin-kept.ts';
import { stageCode } from '../../shared/core/limits/time-limits.ts';
import { keepUntil, ruleSetOf, writeBy } from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { toIso } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { perSeedWords } from './job-kinds.ts';
import { missingBy, recordDetails, washingsOf } from './records.ts';
import { daysOf, isFor, missingJob } from './report-job-sheet.ts';
import type { DoneFor, Period } from './report-table.ts';

/** Whatever rules the farm keeps to, this file is the one the EU rule asks for. */
const RULES = 'eu-2023-564';

type Wish = Period & DoneFor & { readonly path?: string | undefined };

/** Writes the records of a period to a file that software can read, whole or not at all. */
export async function writeRecordFile(
	context: QueryContext,
	{ from, to, path, ...of }: Wish,
): Promise<Result<{ path: string; records: number; incomplete: number; late: number; unplaced: number }>> {
	if (to < from) return refuse('period.reversed', { from, to });
	const missing = await missingJob(context.db, of);
	if (missing) return missing;
	const file = await recordFile(context, { from, to, ...of });
	const bytes = new TextEncoder().encode(`${JSON.stringify(file, null, '\t')}\n`);
	const written = writeExport(
		exportPath(context.book.folder, path, `Spray records ${file.from} to ${file.to}`, 'json'),
		bytes,
	);
	if (!written.ok) return written;
	const many = (is: (record: FiledRecord) => boolean) => file.records.filter(is).length;
	return ok({
		path: written.value,
		records: file.records.length,
		incomplete: many(({ missing }) => missing.length > 0),
		late: many(({ createdAt, writeBy }) => writeBy !== null && createdAt.slice(0, 10) > writeBy),
		unplaced: many(
			({ useType, location }) =>
				useType === 'treatment of surfaces' && location.code === null && location.point === null,
		),
	});
}

async function recordFile({ db, farm, now }: QueryContext, { from, to, ...of }: Period & DoneFor): Promise<RecordFile> {
	const rules = ruleSetOf(RULES);
	invariant(rules, `there is a rule set ${RULES}`);
	const head = await chainHead(db, 'records');
	const found = (await listRecords(db, of.jobId === undefined ? { from, to } : { jobId: of.jobId })).reverse();
	const jobs = of.customer === undefined ? null : await jobsById(db, new Set(found.map(({ jobId }) => jobId)));
	const records = found.filter(({ jobId }) => jobs === null || isFor(jobs.get(jobId), of));
	const codes = new Map(
		(await listFields(db, seasonOf(to, farm.seasonStartMonth))).map(({ field }) => [field.id, field.code]),
	);
	const places = new Map<string, FiledRecord['location']['point']>();
	for (const id of new Set(records.flatMap(({ fieldId }) => (fieldId === null ? [] : [fieldId])))) {
		places.set(id, await placeOf({ db }, id));
	}
	return {
		$schema: RECORD_FILE_ID,
		farm: farm.farmName ?? '',
		...{ from, to, ...daysOf(records, of) },
		madeAt: toIso(now, farm.zone),
		ruleSet: { id: rules.id, name: rules.name, asOf: rules.asOf },
		chainHead: { entry: head.seq, hash: head.hash },
		records: records.map((row) => ({
			...filed(row),
			location: locationOf(row, { codes, places }),
			writeBy: writeBy(row.sprayDate, rules),
			keepUntil: keepUntil(row.sprayDate, rules),
			missing: missingBy(row, recordDetails(row), RULES),
		})),
	};
}

async function placeOf({ db }: Pick<QueryContext, 'db'>, fieldId: string): Promise<FiledRecord['location']['point']> {
	const geometry = await currentGeometry(db, fieldId);
	const parts = geometry === null ? null : readBoundary(JSON.parse(geometry) as UncheckedGeometry);
	const [longitude, latitude] = (parts?.ok ? pointInside(parts.value) : null) ?? [];
	return longitude === undefined || latitude === undefined ? null : { latitude, longitude };
}

type Known = {
	readonly codes: ReadonlyMap<string, string | null>;
	readonly places: ReadonlyMap<string, FiledRecord['location']['point']>;
};

/** A field by the register; a closed space as its record says. */
function locationOf(row: RecordStored, { codes, places }: Known): FiledRecord['location'] {
	const { space } = recordDetails(row);
	return {
		field: row.fieldName,
		code: space ? space.code : (codes.get(row.fieldId ?? '') ?? null),
		address: space?.place ?? null,
		point: space ? space.point : (places.get(row.fieldId ?? '') ?? null),
	};
}

/** What the record itself says. */
function filed(row: RecordStored): Omit<FiledRecord, 'location' | 'writeBy' | 'keepUntil' | 'missing'> {
	const details = recordDetails(row);
	const { zone, crop, eppoCode, authorisationNo, formulation, reason, operator, certificateNo, useType } = details;
	const { seed, space } = details;
	const washings = washingsOf(row, details);
	const stage = stageCode(details.growthStage);
	return {
		id: row.recordId,
		entry: row.seq,
		version: row.version,
		useType,
		product: { name: row.productName, authorisationNumber: authorisationNo, formulation },
		date: row.sprayDate,
		start: toIso(row.startedAt, zone),
		end: toIso(row.finishedAt, zone),
		dose: seed
			? { value: seed.dose, unit: perSeedWords(row.unit, seed.unit) }
			: (space?.dose ?? { value: details.dosePerHa ?? 0, unit: `${row.unit}/ha` }),
		amount: { value: fromStockAmount(row.amount), unit: row.unit },
		treatedArea: seed || space ? null : { value: toHectares(row.washedM2 ?? row.treatedM2), unit: 'ha' },
		treatedSeed: seed && {
			value: seed.amount,
			unit: seed.unit,
			lot: seed.lot,
			water: seed.waterL === undefined ? null : { value: seed.waterL, unit: 'L' },
		},
		treatedSpace: space && {
			value: space.amount,
			unit: space.unit,
			kind: space.kind,
			volume: space.volumeM3 === null ? null : { value: space.volumeM3, unit: 'm³' },
			floor: space.floorM2 === null ? null : { value: space.floorM2, unit: 'm²' },
		},
		crop: { name: crop, eppoCode },
		growthStage: stage === null ? null : { scale: 'BBCH', code: stage },
		sprayVolume: details.sprayVolumeLPerHa === null ? null : { value: details.sprayVolumeLPerHa, unit: 'L/ha' },
		carrier: details.carrier,
		washings: washings && { over: washings.over, sprayed: { value: washings.litres, unit: 'L' } },
		...(details.assessed ? { distancesToWater: distancesOf(details.assessed, row.unit) } : {}),
		reason,
		operator,
		certificateNumber: certificateNo,
		createdAt: toIso(details.createdAt, zone),
		convertedAt: toIso(details.createdAt, zone),
		changedAt: toIso(row.writtenAt, zone),
	};
}

function distancesOf(
	{ margins, labelM, reducible, doseClass, largestDose }: Assessed,
	unit: 'L' | 'kg',
): DistancesToWater {
	return {
		labelDistance: measured(labelM, 'm'),
		labelAllowsReduction: reducible ?? null,
		doseClass: doseClass ?? null,
		largestLabelDose: measured(largestDose, `${unit}/ha` as const),
		margins: margins.map((kept) => ({
			margin: kept.margin,
			water: kept.water ?? null,
			waterWidth: kept.width ?? null,
			driftReduction: measured(kept.driftReduction, '%'),
			pressure: pressureOf(kept),
			driftReducedWithin30Metres: kept.lessDriftWithin30M ?? null,
			keptDistance: measured(kept.keptM, 'm'),
			assessedBy: kept.by,
		})),
	};
}

function measured<Unit extends string>(value: number | undefined, unit: Unit) {
	return value === undefined ? null : { value, unit };
}

/** One figure alone did not vary. */
function pressureOf({ pressureFromBar: from, pressureToBar: to = from }: MarginKept) {
	return to === undefined ? null : { from: from ?? null, to, unit: 'bar' as const };
}
