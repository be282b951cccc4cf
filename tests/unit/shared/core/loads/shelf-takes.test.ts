import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type ContainerOnLine, takesBetween } from '../../../../../shared/core/loads/shelf-takes.ts';

const shelf: readonly ContainerOnLine[] = [
	{ left: 3, opened: true, line: 'A', container: 'can 7' },
	{ left: 5, opened: false, line: 'A' },
	{ left: 5, opened: false, line: 'A' },
	{ left: 5, opened: false, line: 'B' },
];

test('a load empties the opened can, whole packs of one line together, and measures out of the next', () => {
	expect(takesBetween(shelf, 0, 14)).toEqual([
		{ what: 'opened', line: 'A', container: 'can 7', begun: true, count: 1, size: 3, amount: 3 },
		{ what: 'full', line: 'A', container: null, begun: false, count: 2, size: 5, amount: 10 },
		{ what: 'measured', line: 'B', container: null, begun: false, count: 1, size: 5, amount: 1 },
	]);
});

test('the next load begins with what the one before opened, and says what the store does not hold', () => {
	expect(takesBetween(shelf, 14, 20)).toEqual([
		{ what: 'opened', line: 'B', container: null, begun: true, count: 1, size: 4, amount: 4 },
		{ what: 'not in the store', line: null, container: null, begun: false, count: 1, size: 2, amount: 2 },
	]);
	expect(takesBetween(shelf, 3, 3)).toEqual([]);
});

test('the takes of the loads add up to their amounts, and no container gives more than it holds', () => {
	const container = fc.record({
		left: fc.integer({ min: 1, max: 20 }),
		opened: fc.boolean(),
		line: fc.constantFrom('A', 'B', 'C'),
	});
	const amounts = fc.array(fc.integer({ min: 0, max: 40 }), { maxLength: 6 });
	fc.assert(
		fc.property(fc.array(container, { maxLength: 8 }), amounts, (containers, loads) => {
			let from = 0;
			let [held, taken] = [containers.reduce((sum, { left }) => sum + left, 0), 0];
			for (const amount of loads) {
				const takes = takesBetween(containers, from, from + amount);
				expect(takes.reduce((sum, take) => sum + take.amount, 0)).toBe(amount);
				for (const take of takes) expect(take.amount).toBeLessThanOrEqual(take.size * take.count);
				taken += takes.reduce((sum, take) => sum + (take.line === null ? 0 : take.amount), 0);
				from += amount;
			}
			expect(taken).toBeLessThanOrEqual(held);
			held = 0;
		}),
		{ seed: 20270419 },
	);
});
