import type { RecordStored } from '../../db/modules/records.ts';
import { daysBetween } from '../../shared/basics/calendar.ts';
import type { PlannedProduct } from '../../shared/core/limits/limit.ts';
import { isShrunk, type MarginKept } from '../../shared/core/limits/margin-kept.ts';
import { hourOf, toLocalDate } from './clock.ts';
import { type RecordDetails, recordDetails } from './records.ts';

/** Where a record says that a reduced dose made the distance smaller: the local hour of its day at which that treatment ended. */
export function shrunkUntil(
	{ assessed: kept, zone }: Pick<RecordDetails, 'assessed' | 'zone'>,
	{ sprayDate, finishedAt }: Pick<RecordStored, 'sprayDate' | 'finishedAt'>,
): number | undefined {
	if (!kept || !isShrunk(kept)) return undefined;
	return 24 * daysBetween(sprayDate, toLocalDate(finishedAt, zone)) + hourOf(finishedAt, zone);
}

/** Without reading the details: most records hold none, and a season's review looks at very many. */
export function holdsMargins(details: string): boolean {
	return details.includes('"assessed":{');
}

type ReviewedLine = Pick<RecordStored, 'seq' | 'productId' | 'sprayDate' | 'finishedAt' | 'writtenAt' | 'details'>;

/** The margins as they were assessed, load by load, where a label asks for a distance. */
export function marginsIn(
	passes: readonly ReviewedLine[],
	products: readonly PlannedProduct[],
): MarginKept[] | undefined {
	const asking = products.find(({ limits }) => limits.some(({ kind }) => kind === 'buffer'));
	if (!asking) return;
	const holding = passes.filter(({ productId, details }) => productId === asking.productId && holdsMargins(details));
	const rows = holding.flatMap((line) => recordDetails(line).assessed?.margins ?? []);
	return rows.length > 0 ? rows : undefined;
}

/** What may keep a second treatment off, among products whose label lets an assessment reduce the distance. */
export function shrunkIn(records: readonly ReviewedLine[], reducible: ReadonlySet<string>): Map<string, number> {
	const found = new Map<string, number>();
	for (const line of records) {
		if (!reducible.has(line.productId) || !holdsMargins(line.details)) continue;
		const until = shrunkUntil(recordDetails(line), line);
		if (until !== undefined) found.set(String(line.seq), until);
	}
	return found;
}
