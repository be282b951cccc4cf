import { expect, test } from 'vitest';
import type { FillStep } from '../../../../../shared/core/filling/fill-steps.ts';
import { tallyOf } from '../../../../../shared/core/filling/tally.ts';

const step = (id: string, at: number, what: FillStep['what'], part: Partial<FillStep> = {}): FillStep => ({
	id,
	at,
	what,
	container: null,
	meteredL: null,
	undoes: null,
	...part,
});

const bag = { product: 'Pellets', size: 20, unit: 'kg' as const };
const portions = [bag, bag, { ...bag, size: 12.5 }, { product: 'Dressing', size: 3, unit: 'L' as const }];

test('a tally tells which bag is next, how many are left, what is in, and how long it runs', () => {
	const before = tallyOf(portions, [], 5000);
	expect([before.next, before.left, before.elapsedS, before.state.begunAt]).toEqual([0, 4, 0, null]);
	const steps = [
		step('a', 1000, 'begun'),
		step('b', 61_000, 'container done', { container: 1 }),
		step('c', 90_000, 'container done', { container: 3 }),
		step('d', 95_000, 'container done', { container: 2 }),
		step('e', 96_000, 'undo', { undoes: 'd' }),
	];
	const now = tallyOf(portions, steps, 101_000);
	expect([now.next, now.left, now.elapsedS]).toEqual([1, 2, 100]);
	expect(now.amounts).toEqual([
		{ product: 'Pellets', unit: 'kg', done: 32.5, all: 52.5 },
		{ product: 'Dressing', unit: 'L', done: 0, all: 3 },
	]);
	const done = [2, 4].map((container) => step(`f${container}`, 110_000, 'container done', { container }));
	expect(tallyOf(portions, [...steps, ...done], 120_000)).toMatchObject({ next: null, left: 0 });
});

test('what stood still does not count as time', () => {
	const steps = [step('a', 0, 'begun'), step('b', 10_000, 'everything stopped'), step('c', 40_000, 'went on')];
	expect(tallyOf(portions, steps, 50_000).elapsedS).toBe(20);
});
