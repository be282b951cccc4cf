import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chooseDraw, onShelf, type Posting, type Shelf } from '../../../../../shared/core/store/draw.ts';
import { drawAsPlanned, type NamedTake, takesAfter } from '../../../../../shared/core/store/planned-draw.ts';

const L = 1_000_000;
const shelf: Shelf = {
	sealed: [
		{ lotId: 'late', size: 5 * L, expires: '2028-03-31', received: 2, count: 5 },
		{ lotId: 'early', size: 5 * L, expires: '2027-09-30', received: 1, count: 2 },
	],
	opened: [
		{ containerId: 'can 7', lotId: 'early', size: 5 * L, expires: '2027-09-30', openedAt: 1, left: 1.25 * L },
		{ containerId: 'can 8', lotId: 'late', size: 5 * L, expires: '2028-03-31', openedAt: 2, left: 3 * L },
	],
};
const sealed = (lotId: string, amount: number): NamedTake => ({
	lotId,
	containerId: null,
	begun: false,
	size: 5 * L,
	amount: amount * L,
});
const can = (containerId: string | null, lotId: string, amount: number): NamedTake => ({
	lotId,
	containerId,
	begun: true,
	size: amount * L,
	amount: amount * L,
});
const nowhere = (amount: number): NamedTake => ({
	lotId: null,
	containerId: null,
	begun: false,
	size: amount * L,
	amount: amount * L,
});

test('what the plan named is drawn, also where the store’s order would take something else', () => {
	const named = [can('can 8', 'late', 3), sealed('late', 10), sealed('late', 1.5)];
	expect(drawAsPlanned(shelf, 14.5 * L, named)).toEqual({
		postings: [
			{ from: 'opened', lotId: 'late', containerId: 'can 8', amount: 3 * L },
			{ from: 'sealed', lotId: 'late', amount: 10 * L },
			{ from: 'newly opened', lotId: 'late', size: 5 * L, amount: 1.5 * L },
		],
		missing: [],
		instead: [],
	});
});

test('the container that an earlier load opened is the newest opened one of its line', () => {
	const opened = [...shelf.opened, { ...shelf.opened[1], containerId: 'can 9', openedAt: 9, left: 2 * L } as never];
	expect(drawAsPlanned({ ...shelf, opened }, 2 * L, [can(null, 'late', 2)])).toEqual({
		postings: [{ from: 'opened', lotId: 'late', containerId: 'can 9', amount: 2 * L }],
		missing: [],
		instead: [],
	});
});

test('what is gone is drawn by the store’s order and said; never what a later line of the plan names', () => {
	const named = [can('can 3', 'gone', 2), sealed('early', 10)];
	expect(drawAsPlanned(shelf, 12 * L, named)).toEqual({
		postings: [
			{ from: 'opened', lotId: 'early', containerId: 'can 7', amount: 1.25 * L },
			{ from: 'opened', lotId: 'late', containerId: 'can 8', amount: 0.75 * L },
			{ from: 'sealed', lotId: 'early', amount: 10 * L },
		],
		missing: [{ take: named[0], amount: 2 * L }],
		instead: [
			{ from: 'opened', lotId: 'early', containerId: 'can 7', amount: 1.25 * L },
			{ from: 'opened', lotId: 'late', containerId: 'can 8', amount: 0.75 * L },
		],
	});
});

test('what the plan did not find in the store is not missed, and a surplus comes out of the container begun last', () => {
	expect(drawAsPlanned(shelf, 4 * L, [can('can 7', 'early', 1.25), nowhere(2.75)])).toMatchObject({
		missing: [],
		instead: [],
	});
	const surplus = drawAsPlanned(shelf, 2.1 * L, [sealed('late', 2)]);
	expect(surplus.postings).toEqual([{ from: 'newly opened', lotId: 'late', size: 5 * L, amount: 2.1 * L }]);
	expect(surplus.missing).toEqual([]);
	const whole = drawAsPlanned(shelf, 5 * L, [sealed('late', 2)]);
	expect(whole.postings).toEqual([{ from: 'sealed', lotId: 'late', amount: 5 * L }]);
});

test('with less poured than planned the last lines fall away', () => {
	expect(drawAsPlanned(shelf, 6 * L, [can('can 8', 'late', 3), sealed('late', 10)]).postings).toEqual([
		{ from: 'opened', lotId: 'late', containerId: 'can 8', amount: 3 * L },
		{ from: 'newly opened', lotId: 'late', size: 5 * L, amount: 3 * L },
	]);
});

test('after a stop the pack that was begun stands opened, the others are still sealed', () => {
	expect(takesAfter([can('can 8', 'late', 3), sealed('late', 15)], 10 * L)).toEqual([
		{ ...can(null, 'late', 3), amount: 3 * L },
		sealed('late', 5),
	]);
	expect(takesAfter([sealed('late', 5)], 5 * L)).toEqual([]);
	expect(takesAfter([sealed('late', 10)], 5 * L)).toEqual([sealed('late', 5)]);
});

const amountOf = (postings: readonly Posting[]) => postings.reduce((sum, { amount }) => sum + amount, 0);
const lots = fc.constantFrom('A', 'B', 'C');
const anyShelf: fc.Arbitrary<Shelf> = fc.record({
	sealed: fc.uniqueArray(
		fc.record({
			lotId: lots,
			size: fc.integer({ min: 1, max: 9 }),
			expires: fc.constantFrom('2027-01-31', '2028-01-31', null),
			received: fc.integer({ min: 0, max: 3 }),
			count: fc.integer({ min: 0, max: 4 }),
		}),
		{ selector: ({ lotId }) => lotId },
	),
	opened: fc.uniqueArray(
		fc.record({
			containerId: fc.constantFrom('1', '2', '3', '4'),
			lotId: lots,
			size: fc.constant(9),
			expires: fc.constantFrom('2027-01-31', null),
			openedAt: fc.integer({ min: 0, max: 9 }),
			left: fc.integer({ min: -2, max: 9 }),
		}),
		{ selector: ({ containerId }) => containerId },
	),
});
const anyTake: fc.Arbitrary<NamedTake> = fc.record({
	lotId: fc.option(lots),
	containerId: fc.option(fc.constantFrom('1', '2', '3', '4', '5')),
	begun: fc.boolean(),
	size: fc.integer({ min: 1, max: 9 }),
	amount: fc.integer({ min: 0, max: 20 }),
});

test('amounts add up to the last microlitre, and no container gives more than it holds', () => {
	fc.assert(
		fc.property(
			anyShelf,
			fc.integer({ min: 0, max: 60 }),
			fc.array(anyTake, { maxLength: 5 }),
			(store, amount, named) => {
				const { postings, missing, instead } = drawAsPlanned(store, amount, named);
				expect(amountOf(postings)).toBe(amount);
				expect(amountOf(instead)).toBe(missing.reduce((sum, line) => sum + line.amount, 0));
				const beyond = postings.find(({ from }) => from === 'beyond the book')?.amount ?? 0;
				expect(beyond).toBe(Math.max(0, amount - onShelf(store)));
				for (const { containerId, left } of store.opened) {
					const taken = postings.filter((each) => each.from === 'opened' && each.containerId === containerId);
					expect(amountOf(taken)).toBeLessThanOrEqual(Math.max(0, left));
				}
				for (const { lotId, size, count } of store.sealed) {
					const packs = postings.reduce((sum, each) => {
						if (each.from === 'sealed' && each.lotId === lotId) return sum + each.amount / size;
						return each.from === 'newly opened' && each.lotId === lotId ? sum + 1 : sum;
					}, 0);
					expect(packs).toBeLessThanOrEqual(count);
					expect(packs % 1).toBe(0);
				}
			},
		),
		{ seed: 20270421, numRuns: 500 },
	);
});

test('without a word of the plan it is the store’s order', () => {
	const byLine = (postings: readonly Posting[]) => {
		const sums = new Map<string, number>();
		for (const each of postings) {
			const line =
				each.from === 'beyond the book' ? each.from : `${each.lotId} ${'containerId' in each ? each.containerId : ''}`;
			sums.set(line, (sums.get(line) ?? 0) + each.amount);
		}
		return new Map([...sums].sort());
	};
	fc.assert(
		fc.property(anyShelf, fc.integer({ min: 0, max: 60 }), (store, amount) => {
			expect(byLine(drawAsPlanned(store, amount, []).postings)).toEqual(byLine(chooseDraw(store, amount)));
		}),
		{ seed: 20270422 },
	);
});

test('what an earlier part drew and what is named after it is what was named', () => {
	fc.assert(
		fc.property(fc.array(anyTake, { maxLength: 5 }), fc.integer({ min: 0, max: 60 }), (named, drawn) => {
			const all = named.reduce((sum, { amount }) => sum + amount, 0);
			const after = takesAfter(named, drawn).reduce((sum, { amount }) => sum + amount, 0);
			expect(after).toBe(Math.max(0, all - drawn));
		}),
		{ seed: 20270423 },
	);
});
