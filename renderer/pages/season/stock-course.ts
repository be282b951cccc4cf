import type { Movement } from '../../../shared/contract/store.ts';

export type StockMark = 'delivery' | 'load' | 'count' | 'other' | 'edge';

/** One point of the stock line: what the book said from this moment on, and what made it so. */
export type StockPoint = {
	readonly at: number;
	readonly balance: number;
	readonly mark: StockMark;
	readonly change: number;
	readonly what: string;
};

/** Opening a container moves it from the full to the opened ones: nothing comes or goes. */
const NOTHING = 1e-9;

/**
 * The stock of one product through a period: from its opening, movement by movement, to its end (or now, if sooner). What one
 * load or one count moved in several lines is one step.
 */
export function stockCourse(
	movements: readonly Movement[],
	opening: number,
	{ from, to, now }: { readonly from: number; readonly to: number; readonly now: number },
): StockPoint[] {
	const inOrder = [...movements].sort((a, b) => Date.parse(a.occurredAt) - Date.parse(b.occurredAt) || a.seq - b.seq);
	const points: StockPoint[] = [{ at: from, balance: toLeast(opening), mark: 'edge', change: 0, what: 'at the start' }];
	let balance = opening;
	for (const [, together] of Map.groupBy(inOrder, ({ occurredAt, kind, load }) => `${occurredAt} ${load ?? kind}`)) {
		const [first] = together;
		const change = together.reduce((sum, { amount }) => sum + amount, 0);
		if (!first || Math.abs(change) < NOTHING) continue;
		balance = toLeast(balance + change);
		const what = first.load === null ? first.kind : `load ${first.load}${change > 0 ? ' taken back' : ''}`;
		points.push({
			at: Date.parse(first.occurredAt),
			balance,
			mark: markOf(first.load === null ? first.kind : 'load'),
			change,
			what,
		});
	}
	const last = points.at(-1)?.at ?? from;
	points.push({ at: Math.max(last, Math.min(to, now)), balance, mark: 'edge', change: 0, what: 'then' });
	return points;
}

/** Sums of litres carry an error far below a microlitre; left in, an empty store would stand a hair under nothing. */
function toLeast(balance: number): number {
	return Math.round(balance * 1e6) / 1e6;
}

function markOf(kind: Movement['kind']): StockMark {
	switch (kind) {
		case 'delivery':
		case 'opening':
			return 'delivery';
		case 'load':
		case 'load reversal':
			return 'load';
		case 'count adjustment':
			return 'count';
		default:
			return 'other';
	}
}

/** First of each month between two moments, for the axis. */
export function monthStarts(from: number, to: number): number[] {
	const starts: number[] = [];
	const first = new Date(from);
	for (let month = 0; ; month++) {
		const start = Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + month, 1);
		if (start > to) return starts;
		if (start >= from) starts.push(start);
	}
}
