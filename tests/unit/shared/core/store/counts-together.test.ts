import { expect, test } from 'vitest';
import { countsTogether } from '../../../../../shared/core/store/counts-together.ts';

const count = (store: string | null, freezeAt: number, counted: number) => ({ store, freezeAt, counted });
const moved = (store: string | null, occurredAt: number, amount: number) => ({ store, occurredAt, amount });

test('in one store every count is a time at which something is known', () => {
	expect(countsTogether([count(null, 9, 4), count(null, 3, 10)], [moved(null, 1, 12), moved(null, 5, -6)])).toEqual([
		{ freezeAt: 3, counted: 10 },
		{ freezeAt: 9, counted: 4 },
	]);
});

test('stores counted on different days are brought to one time by what moved in between', () => {
	const movements = [moved(null, 1, 100), moved('barn', 1, 50), moved(null, 12, -8), moved('barn', 25, -5)];
	expect(countsTogether([count(null, 10, 99), count('barn', 20, 49)], movements)).toEqual([
		{ freezeAt: 20, counted: 99 - 8 + 49 },
	]);
});

test('while a store that holds some was not counted nothing is said; an empty one is not waited for', () => {
	const filled = [moved(null, 1, 100), moved('barn', 1, 50)];
	expect(countsTogether([count(null, 10, 99)], filled)).toEqual([]);
	expect(countsTogether([count(null, 10, 99)], [...filled, moved('barn', 5, -50)])).toEqual([
		{ freezeAt: 10, counted: 99 },
	]);
	expect(countsTogether([count(null, 10, 99), count('barn', 10, 49), count(null, 30, 80)], filled)).toEqual([
		{ freezeAt: 10, counted: 148 },
	]);
});
