import { lineageBetween } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { countTakenBack, type RecordStored, recordCells } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportColumn, ReportRow } from '../../shared/contract/season.ts';
import { assessedWords, narrowestKept } from '../../shared/core/limits/margin-kept.ts';
import { nutrientWords } from '../../shared/core/products/nutrient.ts';
import { isLate, ruleSetOf } from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { nutrientDoses } from './applied-product.ts';
import { toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { missingBy, recordDetails } from './records.ts';
import {
	alphabetical,
	counted,
	date,
	number,
	once,
	type Period,
	type ReportTable,
	text,
	time,
	writtenMoment,
} from './report-table.ts';
import { doseInSpaceWords, doseOnSeedWords, seedWords, spaceWords } from './treated-words.ts';

const when: readonly ReportColumn[] = [
	date('date', 'date', once),
	time('startedAt', 'began', { under: 'date', bare: true }),
	time('finishedAt', 'ended', { under: 'date', bare: true }),
];

const where: readonly ReportColumn[] = [
	text('field', 'field', once),
	text('place', 'at', { under: 'field' }),
	text('crop', 'crop', { under: 'field', bare: true }),
	text('eppoCode', 'EPPO code', { under: 'field', bare: true }),
	text('growthStage', 'BBCH', { under: 'field' }),
];

const rest: readonly ReportColumn[] = [
	number('treatedHa', 'treated', 2, { unit: 'ha', ...once }),
	text('seed', 'seed', { under: 'treatedHa' }),
	text('space', 'closed space', { under: 'treatedHa' }),
	number('washedHa', 'washings on', 2, { unit: 'ha', under: 'treatedHa' }),
	text('product', 'product'),
	text('authorisationNo', 'authorisation no.', { under: 'product', bare: true }),
	text('assessed', 'margins assessed', { under: 'product', wide: true }),
	text('missing', 'still missing', { under: 'product', wide: true }),
	number('dosePerHa', 'dose per ha', 3, { unitFrom: 'unit' }),
	text('onSeed', 'dose on seed', { under: 'dosePerHa' }),
	text('inSpace', 'dose in closed space', { under: 'dosePerHa' }),
	text('nutrients', 'nutrients', { under: 'dosePerHa', bare: true }),
	text('noEntryUntil', 'no entry until', { under: 'dosePerHa', bare: true }),
	number('amount', 'amount', 3, { unitFrom: 'unit' }),
	text('unit', 'unit'),
	date('harvestFrom', 'harvest from', { under: 'amount', bare: true }),
	text('amounts', 'amounts', { under: 'amount', usual: 'confirmed' }),
	text('reason', 'reason', once),
	text('operator', 'operator', once),
	text('certificateNo', 'certificate no.', { under: 'operator', bare: true }),
	text('sprayer', 'sprayer', once),
	text('kind', 'brought out', { under: 'sprayer', usual: 'spray in water' }),
	number('sprayVolumeLPerHa', 'volume', 0, { unit: 'L/ha', under: 'sprayer' }),
	text('carrier', 'carrier', { under: 'sprayer' }),
	number('load', 'load', 0, { under: 'sprayer' }),
	number('windSpeedKmh', 'wind', 0, { unit: 'km/h', ...once }),
	text('windDirection', 'wind from', { under: 'windSpeedKmh', bare: true }),
	number('temperatureC', 'temp.', 0, { unit: '°C', under: 'windSpeedKmh', bare: true }),
	number('humidityPercent', 'humidity', 0, { unit: '%', under: 'windSpeedKmh', bare: true }),
	number('bufferM', 'buffer', 1, { unit: 'm' }),
	number('seq', 'entry', 0),
	number('version', 'version', 0, { under: 'seq', usual: '1' }),
	text('flowering', 'in flower', { under: 'reason' }),
	text('told', 'told', { under: 'reason' }),
	text('overrideWhy', 'went on against a warning because', { under: 'reason' }),
];

/** Every record that stands, oldest first. */
export async function sprayDiary(context: QueryContext, period: Period): Promise<ReportTable> {
	return diary([...when, ...where, ...rest], await diaryRecords(context, period), { context, period });
}

/** The same, field by field. */
export async function diaryByField(context: QueryContext, period: Period): Promise<ReportTable> {
	const fields = [
		...Map.groupBy(await diaryRecords(context, period), ({ fieldId, fieldName }) => fieldId ?? fieldName).values(),
	];
	const ordered = fields
		.map((records) => ({ name: records[0]?.fieldName ?? '', id: records[0]?.fieldId ?? '', records }))
		.sort((a, b) => alphabetical(a.name, b.name) || (a.id < b.id ? -1 : 1))
		.flatMap(({ records }) => records);
	const table = await diary([...where, ...when, ...rest], ordered, { context, period });
	return { ...table, notes: [...table.notes, ...(await earlierNames(context, period))] };
}

/** Where to look for what was put on the ground of a field under the names it had before. */
async function earlierNames({ db }: QueryContext, period: Period): Promise<string[]> {
	const lines = await lineageBetween(db, period);
	return [...Map.groupBy(lines, ({ child }) => child)].map(([child, parents]) => {
		const names = parents.map(({ parent }) => parent).join(' and ');
		const [first] = parents;
		const was = first?.kind === 'merge' ? names : `part of ${names}`;
		const there = parents.length > 1 ? 'those names' : 'that name';
		return `${child} was ${was} until ${writtenDate(first?.happenedOn ?? '')}: what was put there before stands under ${there}.`;
	});
}

const columnsRead = [
	'seq',
	'version',
	'sprayDate',
	'fieldId',
	'fieldName',
	'productId',
	'productName',
	'unit',
	'treatedM2',
	'washedM2',
	'amount',
	'startedAt',
	'finishedAt',
	'confirmed',
	'loadNumber',
	'writtenAt',
	'details',
] as const;
type DiaryRecord = Pick<RecordStored, (typeof columnsRead)[number]>;

/** Lines of one treatment stand together, also where one of them was corrected since and is the newest entry. */
async function diaryRecords({ db }: QueryContext, period: Period): Promise<DiaryRecord[]> {
	const records = await recordCells(db, columnsRead, { ...period, order: 'oldest first' });
	const treatments = Map.groupBy(
		records,
		({ startedAt, fieldId, fieldName, washedM2 }) =>
			`${startedAt} ${fieldId ?? fieldName} ${washedM2 === null ? '' : 'washings'}`,
	);
	return [...treatments.values()].flat();
}

type Asked = { readonly context: QueryContext; readonly period: Period };

async function diary(
	columns: readonly ReportColumn[],
	records: readonly DiaryRecord[],
	{ context, period }: Asked,
): Promise<ReportTable> {
	const products = new Map((await listProducts<ProductDetails>(context.db)).map((product) => [product.id, product]));
	const rows = records.map((record) => diaryRow(record, context.farm, products.get(record.productId)));
	const reversed = await countTakenBack(context.db, period);
	const incomplete = rows.filter(({ missing }) => missing !== null).length;
	const unconfirmed = records.filter(({ confirmed }) => confirmed === 0).length;
	const washed = records.filter(({ washedM2 }) => washedM2 !== null).length;
	const notes = [
		...completeness(rows.length - incomplete, rows.length, context.farm),
		...writtenLate(records, context.farm),
		...(unconfirmed > 0
			? [`${counted(unconfirmed, 'record holds', 'records hold')} planned amounts that nobody confirmed.`]
			: []),
		...(washed > 0
			? [
					`${counted(washed, 'line is', 'lines are')} washings: over ground that was sprayed they add to its dose, not to the ground treated.`,
				]
			: []),
		...(reversed > 0
			? [
					`${counted(reversed, 'record of this period was taken back and is', 'records of this period were taken back and are')} not listed.`,
				]
			: []),
	];
	return { columns: [...columns], rows, totals: null, notes };
}

const MS_PER_DAY = 86_400_000;

/** How many were written after the time the rules give, and who gives it. */
function writtenLate(records: readonly DiaryRecord[], { ruleSet }: FarmRow): string[] {
	const rules = ruleSetOf(ruleSet);
	if (!rules?.writeWithin) return [];
	const { days, source } = rules.writeWithin;
	const late = records.filter((record) => {
		// Of most records the newest version was in time already: their texts are not read for it.
		if (record.writtenAt < Date.parse(record.sprayDate) + days * MS_PER_DAY) return false;
		const { createdAt, zone } = recordDetails(record);
		return isLate({ date: record.sprayDate, createdOn: toLocalDate(createdAt, zone) }, rules);
	}).length;
	if (late === 0) return [];
	return [`${counted(late, 'record was', 'records were')} written later than ${days} days after the use (${source}).`];
}

/** Never whether they are lawful: only which rules they were held against, and from when those are. */
function completeness(complete: number, all: number, { ruleSet }: FarmRow): string[] {
	const rules = ruleSetOf(ruleSet);
	if (!rules || all === 0) return [];
	const lacking = complete === all ? '' : ' What the others lack stands with them.';
	return [
		`${complete} of ${counted(all, 'record is', 'records are')} complete against rule set ${rules.name} of ${writtenDate(rules.asOf)}.${lacking}`,
	];
}

function diaryRow(record: DiaryRecord, farm: FarmRow, product: ProductRow<ProductDetails> | undefined) {
	const details = recordDetails(record);
	const { weather, zone } = details;
	return {
		date: record.sprayDate,
		startedAt: toIso(record.startedAt, zone),
		finishedAt: toIso(record.finishedAt, zone),
		field: record.fieldName,
		place: details.space?.place ?? null,
		crop: details.crop,
		eppoCode: details.eppoCode,
		growthStage: details.growthStage,
		product: record.productName,
		authorisationNo: details.authorisationNo,
		dosePerHa: details.dosePerHa,
		nutrients: product && details.dosePerHa !== null ? nutrientWords(nutrientDoses(product, details.dosePerHa)) : null,
		onSeed: doseOnSeedWords(details.seed, record.unit),
		inSpace: doseInSpaceWords(details.space),
		treatedHa: record.treatedM2 > 0 ? toHectares(record.treatedM2) : null,
		seed: seedWords([details]),
		space: spaceWords([details]),
		washedHa: record.washedM2 === null ? null : toHectares(record.washedM2),
		amount: fromStockAmount(record.amount),
		unit: record.unit,
		amounts: record.confirmed === 1 ? 'confirmed' : 'as planned',
		noEntryUntil: details.noEntryUntil === null ? null : writtenMoment(toIso(details.noEntryUntil, zone)),
		harvestFrom: details.harvestFrom,
		reason: details.reason,
		flowering: details.flowering,
		told: details.told,
		assessed: details.assessed ? assessedWords(details.assessed) : null,
		overrideWhy: details.overrideWhy ?? null,
		operator: details.operator,
		certificateNo: details.certificateNo,
		sprayer: details.sprayer,
		kind: record.washedM2 === null ? details.kind : 'washings',
		sprayVolumeLPerHa: details.sprayVolumeLPerHa,
		carrier: details.carrier,
		windSpeedKmh: weather?.windSpeedKmh ?? null,
		windDirection: weather?.windDirection ?? null,
		temperatureC: weather?.temperatureC ?? null,
		humidityPercent: weather?.humidityPercent ?? null,
		bufferM: details.bufferM ?? (details.assessed ? narrowestKept(details.assessed) : null),
		load: record.loadNumber,
		version: record.version,
		seq: record.seq,
		missing: missingBy(record, details, farm.ruleSet).join(', ') || null,
	} satisfies ReportRow;
}
