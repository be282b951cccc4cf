import type { TakeLine } from '../../../shared/contract/stock-take.ts';

export type Disagreement = {
	readonly place: string;
	readonly stands: TakeLine['entries'][number];
	/** What the other counter found there. */
	readonly other: TakeLine['entries'][number];
};

/** Two people counted the same place and found different amounts: one of them is wrong, and the book of neither knows. */
export function disagreements(line: Pick<TakeLine, 'entries'>): readonly Disagreement[] {
	return line.entries
		.filter((entry) => entry.stands)
		.flatMap((stands) => {
			const other = line.entries.findLast(
				(entry) => !entry.stands && same(entry.place, stands.place) && entry.by !== stands.by,
			);
			return other && other.amount !== stands.amount ? [{ place: stands.place, stands, other }] : [];
		});
}

function same(a: string, b: string): boolean {
	return a.toLowerCase() === b.toLowerCase();
}
