import { expect, test } from 'vitest';
import { containersMissing } from '../../../../../shared/core/store/container-account.ts';
import { adjustmentsToPost, bookAt, measuringSigma, stockTake } from '../../../../../shared/core/store/stock-take.ts';
import { seededRandom } from '../../../seeded-random.ts';

const L = 1_000_000;
const movements = [
	{ amount: 40 * L, occurredAt: 100 },
	{ amount: -12 * L, occurredAt: 200 },
	{ amount: -3 * L, occurredAt: 301 },
];

test('counted against book at the freeze time, with the size measuring alone may have', () => {
	const measuring = { measuredPours: 16, pourSigma: 0.05 * L, lastCountSigma: 0, countSigma: 0.25 * L };
	expect([
		stockTake(movements, { countId: 'c', freezeAt: 300, counted: 27.5 * L }, measuring),
		stockTake(movements, { countId: 'c', freezeAt: 301, counted: 20 * L }, measuring),
	]).toEqual([
		{ book: 28 * L, difference: -0.5 * L, likelySize: 640_312, withinMeasuring: true },
		{ book: 25 * L, difference: -5 * L, likelySize: 640_312, withinMeasuring: false },
	]);
});

test('without a pour or an opened container the count must agree exactly', () => {
	const measuring = { measuredPours: 0, pourSigma: L, lastCountSigma: 0, countSigma: 0 };
	expect([
		measuringSigma(measuring),
		stockTake(movements, { countId: 'c', freezeAt: 300, counted: 28 * L }, measuring).withinMeasuring,
		stockTake(movements, { countId: 'c', freezeAt: 300, counted: 28 * L - 1 }, measuring).withinMeasuring,
	]).toEqual([0, true, false]);
});

test('a load posted late for before a count re-posts that adjustment alone', () => {
	const counts = [
		{ countId: 'autumn', freezeAt: 400, counted: 24 * L },
		{ countId: 'spring', freezeAt: 250, counted: 28 * L },
	];
	const first = adjustmentsToPost(movements, counts);
	const late = { amount: -2 * L, occurredAt: 220 };
	expect([
		first,
		adjustmentsToPost([...movements, ...first], counts),
		adjustmentsToPost([...movements, ...first, late], counts),
	]).toEqual([
		[{ countId: 'autumn', occurredAt: 400, amount: -1 * L }],
		[],
		[{ countId: 'spring', occurredAt: 250, amount: 2 * L }],
	]);
});

test('after posting, the book agrees with every count, whatever came before', () => {
	const random = seededRandom(7);
	for (let run = 0; run < 200; run++) {
		const some = Array.from({ length: 30 }, () => ({
			amount: Math.round((random() - 0.4) * 20 * L),
			occurredAt: Math.floor(random() * 1000),
		}));
		const counts = [900, 100, 500].map((freezeAt) => ({
			countId: `at ${freezeAt}`,
			freezeAt,
			counted: Math.floor(random() * 50 * L),
		}));
		const all = [...some, ...adjustmentsToPost(some, counts)];
		expect(counts.map(({ freezeAt }) => bookAt(all, freezeAt))).toEqual(counts.map(({ counted }) => counted));
	}
});

test('every container delivered is full, opened, empty, collected or passed on', () => {
	const sound = { atStart: 2, delivered: 40, full: 9, opened: 1, emptyWaiting: 12, collected: 20, passedOn: 0 };
	expect([
		containersMissing(sound),
		containersMissing({ ...sound, emptyWaiting: 10 }),
		containersMissing({ ...sound, delivered: 36 }),
	]).toEqual([0, 2, -4]);
	expect(() => containersMissing({ ...sound, full: 1.5 })).toThrow('1.5 containers (full)');
});
