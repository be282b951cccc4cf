import { listRecords } from '../../db/modules/records.ts';
import type { RecordLine } from '../../shared/contract/records.ts';
import type { ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import type { QueryContext } from './handler.ts';
import { doseOnSeedWords, recordLine, seedWords } from './records.ts';
import { alphabetical, date, number, type Period, type ReportTable, text, time } from './report-table.ts';

const when: readonly ReportColumn[] = [
	date('date', 'date'),
	time('startedAt', 'began', { under: 'date' }),
	time('finishedAt', 'ended', { under: 'date' }),
];

const where: readonly ReportColumn[] = [
	text('field', 'field'),
	text('crop', 'crop', { under: 'field' }),
	text('eppoCode', 'EPPO code', { under: 'field' }),
	text('growthStage', 'BBCH', { under: 'field' }),
];

const rest: readonly ReportColumn[] = [
	text('product', 'product'),
	text('authorisationNo', 'authorisation no.', { under: 'product' }),
	number('dosePerHa', 'dose per ha', 3, { unitFrom: 'unit' }),
	text('onSeed', 'dose on seed', { under: 'dosePerHa' }),
	number('treatedHa', 'treated', 2, { unit: 'ha' }),
	text('seed', 'seed', { under: 'treatedHa' }),
	number('amount', 'amount', 3, { unitFrom: 'unit' }),
	text('unit', 'unit'),
	text('amounts', 'amounts', { under: 'amount' }),
	text('reason', 'reason'),
	text('operator', 'operator'),
	text('certificateNo', 'certificate no.', { under: 'operator' }),
	text('sprayer', 'sprayer'),
	text('kind', 'brought out', { under: 'sprayer' }),
	number('sprayVolumeLPerHa', 'volume', 0, { unit: 'L/ha', under: 'sprayer' }),
	text('carrier', 'in', { under: 'sprayer' }),
	number('windSpeedKmh', 'wind', 0, { unit: 'km/h' }),
	text('windDirection', 'from', { under: 'windSpeedKmh' }),
	number('temperatureC', 'temp.', 0, { unit: '°C', under: 'windSpeedKmh' }),
	number('humidityPercent', 'humidity', 0, { unit: '%', under: 'windSpeedKmh' }),
	number('bufferM', 'buffer', 1, { unit: 'm' }),
	number('load', 'load', 0),
	number('version', 'version', 0, { under: 'load' }),
	number('seq', 'entry', 0, { under: 'load' }),
	text('missing', 'still missing'),
];

/** Every record that stands, oldest first. */
export async function sprayDiary(context: QueryContext, period: Period): Promise<ReportTable> {
	const lines = (await diaryLines(context, period)).sort(
		(a, b) => compare(a.date, b.date) || compare(a.startedAt, b.startedAt) || a.seq - b.seq,
	);
	return diary([...when, ...where, ...rest], lines, await takenBack(context, period));
}

/** The same, field by field. */
export async function diaryByField(context: QueryContext, period: Period): Promise<ReportTable> {
	const lines = (await diaryLines(context, period)).sort(
		(a, b) =>
			alphabetical(a.field, b.field) ||
			compare(a.fieldId ?? '', b.fieldId ?? '') ||
			compare(a.date, b.date) ||
			compare(a.startedAt, b.startedAt) ||
			a.seq - b.seq,
	);
	return diary([...where, ...when, ...rest], lines, await takenBack(context, period));
}

async function diaryLines({ db, farm }: QueryContext, period: Period): Promise<RecordLine[]> {
	return (await listRecords(db, period)).map((row) => recordLine(row, farm));
}

async function takenBack({ db }: QueryContext, period: Period): Promise<number> {
	const all = await listRecords(db, { ...period, reversed: true });
	return all.filter(({ state }) => state === 'reversed').length;
}

function diary(columns: readonly ReportColumn[], lines: readonly RecordLine[], reversed: number): ReportTable {
	const incomplete = lines.filter(({ missing }) => missing.length > 0).length;
	const unconfirmed = lines.filter(({ confirmed }) => !confirmed).length;
	const notes = [
		...(incomplete > 0 ? [`${incomplete} of ${lines.length} records still lack something the law asks for.`] : []),
		...(unconfirmed > 0 ? [`${unconfirmed} records hold planned amounts that nobody confirmed.`] : []),
		...(reversed > 0 ? [`${reversed} records of this period were taken back and are not listed.`] : []),
	];
	return { columns: [...columns], rows: lines.map(diaryRow), totals: null, notes };
}

function diaryRow(line: RecordLine): ReportRow {
	const { weather } = line;
	return {
		date: line.date,
		startedAt: line.startedAt,
		finishedAt: line.finishedAt,
		field: line.field,
		crop: line.crop,
		eppoCode: line.eppoCode,
		growthStage: line.growthStage,
		product: line.product,
		authorisationNo: line.authorisationNo,
		dosePerHa: line.dosePerHa,
		onSeed: doseOnSeedWords(line.seed, line.unit),
		treatedHa: line.seed ? null : line.treatedHa,
		seed: seedWords([line]),
		amount: line.amount,
		unit: line.unit,
		amounts: line.confirmed ? 'confirmed' : 'as planned',
		reason: line.reason,
		operator: line.operator,
		certificateNo: line.certificateNo,
		sprayer: line.sprayer,
		kind: line.kind,
		sprayVolumeLPerHa: line.sprayVolumeLPerHa,
		carrier: line.carrier,
		windSpeedKmh: weather?.windSpeedKmh ?? null,
		windDirection: weather?.windDirection ?? null,
		temperatureC: weather?.temperatureC ?? null,
		humidityPercent: weather?.humidityPercent ?? null,
		bufferM: line.bufferM,
		load: line.load,
		version: line.version,
		seq: line.seq,
		missing: line.missing.join(', ') || null,
	};
}

/** ISO text sorts by itself. */
function compare(a: string, b: string): number {
	return a < b ? -1 : a > b ? 1 : 0;
}
