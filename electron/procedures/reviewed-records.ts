import type { ProductRow } from '../../db/modules/products.ts';
import { listUses, type RecordStored, recordCells } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays } from '../../shared/basics/calendar.ts';
import { DAYS_OF_WAIT } from '../../shared/core/limits/buffer.ts';
import { isReducible } from '../../shared/core/limits/margin-kept.ts';
import { shrunkIn } from './assessed-records.ts';
import type { ProductDetails } from './products.ts';
import type { Period } from './report-table.ts';

const columnsRead = [
	'seq',
	'recordId',
	'jobId',
	'sprayDate',
	'season',
	'fieldId',
	'fieldName',
	'productId',
	'treatedM2',
	'washedM2',
	'amount',
	'startedAt',
	'finishedAt',
	'writtenAt',
	'details',
] as const;
export type ReviewedRecord = Pick<RecordStored, (typeof columnsRead)[number]>;

/** The records of a review, and of the days around it those that a reduced dose may concern. */
export type ReviewedRecords = {
	/** Of the period, oldest first. */
	readonly all: readonly ReviewedRecord[];
	/** Of the days after it, of products that were given in its last days at a reduced dose for a smaller distance. */
	readonly later: readonly ReviewedRecord[];
	/** The doses planned for those, by entry. */
	readonly laterDoses: ReadonlyMap<number, number | null>;
	/** Of entries where a reduced dose made the distance smaller: the local hour of their day at which they ended. */
	readonly shrunk: ReadonlyMap<string, number>;
};

/** Around the period only products are read whose label lets an assessment reduce the distance. */
export async function reviewedRecords(
	db: ReadDb,
	period: Period,
	products: ReadonlyMap<string, ProductRow<ProductDetails>>,
): Promise<ReviewedRecords> {
	const all = await recordCells(db, columnsRead, { ...period, order: 'oldest first' });
	const reducible = new Set([...products].flatMap(([id, { limits }]) => (limits.some(isReducible) ? [id] : [])));
	if (reducible.size === 0) return { all, later: [], laterDoses: new Map(), shrunk: new Map() };
	const before = await recordCells(db, columnsRead, {
		...{ from: addDays(period.from, -DAYS_OF_WAIT), to: addDays(period.from, -1) },
		...{ productIds: [...reducible], order: 'as they come' },
	});
	const shrunk = new Map([...shrunkIn(before, reducible), ...shrunkIn(all, reducible)]);
	const lastDays = addDays(period.to, -DAYS_OF_WAIT);
	const waiting = all.filter(({ seq, sprayDate }) => sprayDate > lastDays && shrunk.has(String(seq)));
	const productIds = [...new Set(waiting.map(({ productId }) => productId))];
	if (productIds.length === 0) return { all, later: [], laterDoses: new Map(), shrunk };
	const after = { from: addDays(period.to, 1), to: addDays(period.to, DAYS_OF_WAIT), productIds };
	const later = await recordCells(db, columnsRead, { ...after, order: 'oldest first' });
	const uses = await listUses(db, after);
	return { all, later, laterDoses: new Map(uses.map(({ seq, plannedDose }) => [seq, plannedDose])), shrunk };
}
