import { expect, test } from 'vitest';
import { disagreements } from '../../../renderer/pages/store/counted-twice.ts';

const entry = (by: string, place: string, amount: number, stands: boolean) => ({
	...{ by, place, amount, stands, at: '2026-05-09T09:00:00Z', full: [], parts: [] },
});
const found = (...entries: ReturnType<typeof entry>[]) =>
	disagreements({ entries }).map(({ place, stands, other }) => [
		place,
		other.by,
		other.amount,
		stands.by,
		stands.amount,
	]);

test('two people who found different amounts at one place disagree', () => {
	expect(found(entry('A. Marsh', 'shelf 2', 20, false), entry('J. Wren', 'Shelf 2', 15, true))).toEqual([
		['Shelf 2', 'A. Marsh', 20, 'J. Wren', 15],
	]);
});

test('no disagreement: other places, the same amount, one person who counted again', () => {
	expect(found(entry('A. Marsh', 'Shelf 1', 20, true), entry('J. Wren', 'Shelf 2', 15, true))).toEqual([]);
	expect(found(entry('A. Marsh', '', 20, false), entry('J. Wren', '', 20, true))).toEqual([]);
	expect(found(entry('A. Marsh', '', 20, false), entry('A. Marsh', '', 15, true))).toEqual([]);
});
