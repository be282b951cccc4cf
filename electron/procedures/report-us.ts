import { listFields } from '../../db/modules/fields.ts';
import { listProducts } from '../../db/modules/products.ts';
import { type RecordStored, recordCells } from '../../db/modules/records.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { keepUntil, ruleSetOf } from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { M2_PER_ACRE, toHectares } from '../../shared/units/area.ts';
import { toIso } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { missingBy, recordDetails } from './records.ts';
import { date, number, once, type Period, type ReportTable, text, time, writtenMoment } from './report-table.ts';
import { seedWords, spaceWords } from './treated-words.ts';

const RULES = 'us-7cfr110';

const columnsRead = [
	'jobId',
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
	'writtenAt',
	'details',
] as const;
type UsRecord = Pick<RecordStored, (typeof columnsRead)[number]>;

/**
 * One line per product, field and day with the nine elements of 7 CFR 110.3(a): name and registration number, total amount,
 * location, size and crop, date, applicator and certificate. Times stand beside them for the posting of 40 CFR 170.311.
 */
export async function usApplicationList(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm } = context;
	const codes = new Map(
		(await listFields(db, seasonOf(period.to, farm.seasonStartMonth))).map(({ field }) => [field.id, field.code]),
	);
	const products = new Map(
		(await listProducts<ProductDetails>(db)).map(({ id, actives }) => [id, actives.map(({ substance }) => substance)]),
	);
	const rules = ruleSetOf(RULES);
	const treatments = Map.groupBy(
		await recordCells(db, columnsRead, { ...period, order: 'oldest first' }),
		({ jobId, fieldId, fieldName, sprayDate, washedM2 }) =>
			`${sprayDate} ${jobId} ${fieldId ?? fieldName} ${washedM2 === null ? '' : 'washings'}`,
	);
	const together = [...treatments.values()].flatMap((lines) => [
		...Map.groupBy(lines, ({ productId }) => productId).values(),
	]);
	const rows = together.flatMap((records): ReportRow[] => {
		const [first] = records;
		if (!first) return [];
		const own = recordDetails(first);
		const { zone } = own;
		const details = [own, ...records.slice(1).map(recordDetails)];
		const one = (read: (each: (typeof details)[number]) => string | null) => named(details.map(read));
		const m2 = records.reduce((sum, { treatedM2, washedM2 }) => sum + (washedM2 ?? treatedM2), 0);
		const lacking = new Set(records.flatMap((row, index) => missingIn(row, details[index])));
		return [
			{
				date: first.sprayDate,
				startedAt: toIso(Math.min(...records.map(({ startedAt }) => startedAt)), zone),
				finishedAt: toIso(Math.max(...records.map(({ finishedAt }) => finishedAt)), zone),
				product: first.productName,
				washings: first.washedM2 === null ? null : 'washings of the sprayer',
				actives: products.get(first.productId)?.join(', ') || null,
				noEntryUntil: latest(
					details.map(({ noEntryUntil }) => noEntryUntil),
					zone,
				),
				registrationNo: one(({ authorisationNo }) => authorisationNo),
				amount: fromStockAmount(records.reduce((sum, { amount }) => sum + amount, 0)),
				unit: first.unit,
				field: first.fieldName,
				code: codes.get(first.fieldId ?? '') ?? null,
				acres: first.fieldId === null ? null : m2 / M2_PER_ACRE,
				areaHa: first.fieldId === null ? null : toHectares(m2),
				seed: seedWords(details),
				space: spaceWords(details),
				crop: one(({ crop }) => crop),
				applicator: one(({ operator }) => operator),
				certificateNo: one(({ certificateNo }) => certificateNo),
				keepUntil: rules && keepUntil(first.sprayDate, rules),
				missing: lacking.size > 0 ? [...lacking].join(', ') : null,
			},
		];
	});
	return {
		columns: [
			date('date', 'date', once),
			time('startedAt', 'began', { under: 'date', bare: true }),
			time('finishedAt', 'ended', { under: 'date', bare: true }),
			text('field', 'location', once),
			text('code', 'code', { under: 'field', bare: true }),
			number('acres', 'area', 2, { unit: 'acres', ...once }),
			number('areaHa', 'area', 2, { unit: 'ha', under: 'acres', bare: true }),
			text('seed', 'seed', { under: 'acres' }),
			text('space', 'closed space', { under: 'acres' }),
			text('crop', 'crop or site', once),
			text('product', 'product'),
			text('registrationNo', 'EPA registration no.', { under: 'product', bare: true }),
			text('washings', 'as', { under: 'product' }),
			text('actives', 'active ingredients', { under: 'product', bare: true }),
			number('amount', 'total amount', 3, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			text('applicator', 'certified applicator', once),
			text('certificateNo', 'certification no.', { under: 'applicator', bare: true }),
			text('noEntryUntil', 'restricted entry until', { under: 'amount' }),
			date('keepUntil', 'keep until', once),
			text('missing', 'still missing'),
		],
		rows,
		totals: null,
		notes: [
			'Every product is listed; 7 CFR 110 asks for restricted-use products. Amounts are of the product, undiluted.',
			...(rules?.writeWithin
				? [`To be written within ${rules.writeWithin.days} days of the use (${rules.writeWithin.source}).`]
				: []),
			'For the display of 40 CFR 170.311 (from memory): active ingredients, times, restricted entry; the safety data sheet lies with the product.',
			'A state with rules of its own comes first.',
		],
	};
}

/** The latest of some moments: `22 May 2027 09:45`; null: none is known. */
function latest(moments: readonly (number | null)[], zone: string): string | null {
	const known = moments.filter((moment) => moment !== null);
	return known.length === 0 ? null : writtenMoment(toIso(Math.max(...known), zone));
}

function missingIn(row: UsRecord, details: ReturnType<typeof recordDetails> | undefined): string[] {
	return details ? missingBy(row, details, RULES) : [];
}

/** What all lines say; several different answers are all given. */
function named(answers: readonly (string | null)[]): string | null {
	const said = new Set(answers.filter((answer) => answer !== null && answer !== ''));
	return said.size > 0 ? [...said].join(', ') : null;
}
