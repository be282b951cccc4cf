import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chooseDraw, type Shelf } from '../../../../../shared/core/store/draw.ts';
import { chooseHandOver } from '../../../../../shared/core/store/hand-over.ts';

const L = 1_000_000;
const shelf: Shelf = {
	sealed: [
		{ lotId: 'tens', size: 10 * L, expires: '2028-03-31', received: 2, count: 3 },
		{ lotId: 'old tens', size: 10 * L, expires: '2027-09-30', received: 1, count: 1 },
		{ lotId: 'fours', size: 4 * L, expires: null, received: 3, count: 2 },
	],
	opened: [{ containerId: 'can', lotId: 'tens', size: 10 * L, expires: '2028-03-31', openedAt: 1, left: 1.3 * L }],
};
const taken = (amount: number) =>
	chooseHandOver(shelf, amount * L).map((posting) => [
		posting.from,
		'lotId' in posting ? posting.lotId : '',
		posting.amount / L,
	]);

test('whole containers leave as they stand, the batch that expires first', () => {
	expect(taken(10)).toEqual([['sealed', 'old tens', 10]]);
	expect(taken(24)).toEqual([
		['sealed', 'old tens', 10],
		['sealed', 'tens', 10],
		['sealed', 'fours', 4],
	]);
	expect(taken(8)).toEqual([['sealed', 'fours', 8]]);
});

test('the rest of an opened container goes with it', () => {
	expect(taken(1.3)).toEqual([['opened', 'tens', 1.3]]);
	expect(taken(5.3)).toEqual([
		['opened', 'tens', 1.3],
		['sealed', 'fours', 4],
	]);
});

test('what cannot be put together is drawn as a load would draw it', () => {
	expect(chooseHandOver(shelf, 7 * L)).toEqual(chooseDraw(shelf, 7 * L));
	expect(chooseHandOver(shelf, 99 * L)).toEqual(chooseDraw(shelf, 99 * L));
});

test('it always adds up, and opens nothing where whole packs would do', () => {
	const packs = fc.array(
		fc.record({
			lotId: fc.string({ minLength: 1, maxLength: 4 }),
			size: fc.constantFrom(L, 2.5 * L, 5 * L, 20 * L),
			expires: fc.constantFrom(null, '2027-01-01', '2028-01-01'),
			received: fc.integer({ min: 0, max: 5 }),
			count: fc.integer({ min: -1, max: 6 }),
		}),
		{ maxLength: 5 },
	);
	fc.assert(
		fc.property(packs, fc.array(fc.nat(4), { minLength: 5, maxLength: 5 }), (sealed, wanted) => {
			const amount = sealed.reduce(
				(sum, { size, count }, at) => sum + size * Math.max(0, Math.min(count, wanted[at] ?? 0)),
				0,
			);
			const postings = chooseHandOver({ sealed, opened: [] }, amount);
			expect(postings.reduce((sum, posting) => sum + posting.amount, 0)).toBe(amount);
			expect(postings.filter(({ from }) => from !== 'sealed')).toEqual([]);
		}),
		{ seed: 72, numRuns: 500 },
	);
});
