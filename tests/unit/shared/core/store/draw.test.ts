import { expect, test } from 'vitest';
import { chooseDraw, drawFromLots, type Shelf } from '../../../../../shared/core/store/draw.ts';

const L = 1_000_000;
const shelf: Shelf = {
	sealed: [
		{ lotId: 'drums', size: 20 * L, expires: null, received: 3, count: 1 },
		{ lotId: 'cans', size: 5 * L, expires: '2028-03-31', received: 2, count: 5 },
		{ lotId: 'old cans', size: 5 * L, expires: '2027-09-30', received: 1, count: 1 },
	],
	opened: [
		{ containerId: 'can 7', lotId: 'old cans', size: 5 * L, expires: '2027-09-30', openedAt: 1, left: 1.25 * L },
	],
};

test('opened containers and the batch that expires first are taken, the last pack is opened', () => {
	expect(chooseDraw(shelf, 18 * L)).toEqual([
		{ from: 'opened', lotId: 'old cans', containerId: 'can 7', amount: 1.25 * L },
		{ from: 'sealed', lotId: 'old cans', amount: 5 * L },
		{ from: 'sealed', lotId: 'cans', amount: 10 * L },
		{ from: 'newly opened', lotId: 'cans', size: 5 * L, amount: 1.75 * L },
	]);
});

test('what the shelf does not hold comes out as beyond the book', () => {
	expect([chooseDraw(shelf, 60 * L).at(-1), chooseDraw(shelf, 0)]).toEqual([
		{ from: 'beyond the book', amount: 8.75 * L },
		[],
	]);
});

test('where lots are named they are emptied in turn, and nothing is taken from others', () => {
	const inTurn = [new Set(['cans']), new Set(['old cans'])];
	expect(drawFromLots(shelf, 27 * L, inTurn)).toEqual([
		{ from: 'sealed', lotId: 'cans', amount: 25 * L },
		{ from: 'opened', lotId: 'old cans', containerId: 'can 7', amount: 1.25 * L },
		{ from: 'newly opened', lotId: 'old cans', size: 5 * L, amount: 0.75 * L },
	]);
	expect(drawFromLots(shelf, 8 * L, [new Set(['old cans'])])).toEqual([
		{ from: 'opened', lotId: 'old cans', containerId: 'can 7', amount: 1.25 * L },
		{ from: 'sealed', lotId: 'old cans', amount: 5 * L },
		{ from: 'beyond the book', amount: 1.75 * L },
	]);
	expect(drawFromLots(shelf, 2 * L, [new Set()])).toEqual([{ from: 'beyond the book', amount: 2 * L }]);
});

test('an amount that is not whole is a bug', () => {
	expect(() => chooseDraw(shelf, 0.5)).toThrow('0.5 is not a whole amount');
	expect(() => chooseDraw(shelf, -1)).toThrow('-1 is not a whole amount');
});
