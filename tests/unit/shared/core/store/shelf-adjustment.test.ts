import fc from 'fast-check';
import { expect, test } from 'vitest';
import { countEntry } from '../../../../../shared/core/store/count-entry.ts';
import type { Shelf } from '../../../../../shared/core/store/draw.ts';
import { lettersApart } from '../../../../../shared/core/store/mistaken-for.ts';
import { adjustShelf } from '../../../../../shared/core/store/shelf-adjustment.ts';

const L = 1_000_000;
const shelf: Shelf = {
	sealed: [
		{ lotId: 'old', size: 5 * L, expires: '2027-01-31', received: 1, count: 2 },
		{ lotId: 'new', size: 5 * L, expires: '2029-01-31', received: 2, count: 4 },
		{ lotId: 'drum', size: 20 * L, expires: null, received: 3, count: 1 },
	],
	opened: [{ containerId: 'can', lotId: 'old', size: 5 * L, expires: '2027-01-31', openedAt: 1, left: 4 * L }],
};

test('full ones go off the first batch, an unknown opened one belongs to it, a found drum joins its only batch', () => {
	const full = [
		{ size: 5 * L, count: 5 },
		{ size: 20 * L, count: 2 },
	];
	const parts = [
		{ size: 5 * L, left: 1 * L },
		{ size: 5 * L, left: 4.5 * L },
	];
	expect(adjustShelf(shelf, { full, parts })).toEqual([
		{ lotId: 'drum', size: 20 * L, place: 'sealed', amount: 20 * L },
		{ lotId: 'old', size: 5 * L, place: 'sealed', amount: -5 * L },
		{ lotId: 'old', size: 5 * L, place: { containerId: 'can' }, amount: 0.5 * L },
		{ lotId: 'old', size: 5 * L, place: 'new', amount: 1 * L },
	]);
});

test('a shelf that agrees needs no change; an empty one loses everything', () => {
	const agrees = {
		full: [
			{ size: 5 * L, count: 6 },
			{ size: 20 * L, count: 1 },
		],
		parts: [{ size: 5 * L, left: 4 * L }],
	};
	const emptied = adjustShelf(shelf, { full: [], parts: [] }).reduce((sum, { amount }) => sum + amount, 0);
	expect([adjustShelf(shelf, agrees), emptied]).toEqual([[], -54 * L]);
});

test('the changes always add up to counted − book', () => {
	const size = fc.constantFrom(1, 5, 20);
	const sealed = fc.array(
		fc.record({ size, count: fc.nat(9), expires: fc.constantFrom(null, '2027-01-31', '2028-01-31') }),
	);
	const parts = fc.array(fc.record({ size, left: fc.nat(L) }), { maxLength: 4 });
	const full = fc.array(fc.record({ size, count: fc.nat(9) }));
	fc.assert(
		fc.property(sealed, parts, full, parts, (book, opened, counted, found) => {
			const shelfOf: Shelf = {
				sealed: book.map((row, index) => ({ ...row, size: row.size * L, lotId: `lot ${index}`, received: index })),
				opened: opened.map((row, index) => ({
					...{ containerId: `can ${index}`, lotId: 'lot', expires: null, openedAt: index },
					...{ size: row.size * L, left: row.left },
				})),
			};
			const whole = (rows: readonly { size: number; count: number }[]) =>
				rows.reduce((sum, row) => sum + row.size * L * row.count, 0);
			const part = (rows: readonly { left: number }[]) => rows.reduce((sum, { left }) => sum + left, 0);
			const changes = adjustShelf(shelfOf, {
				full: counted.map((row) => ({ ...row, size: row.size * L })),
				parts: found.map((row) => ({ size: row.size * L, left: row.left })),
			});
			expect(changes.reduce((sum, { amount }) => sum + amount, 0)).toBe(
				whole(counted) + part(found) - whole(book) - part(opened),
			);
		}),
		{ seed: 20, numRuns: 300 },
	);
});

test('weighing: gross − tare over density, with the standard error of two readings of the scale', () => {
	const weighed = { how: 'weighed', size: 10, grossKg: 9.4, tareKg: 0.4, scaleStepKg: 0.1 } as const;
	const liquid = countEntry({ name: 'A', unit: 'L', relativeDensity: 1.2 }, { full: [], parts: [weighed] });
	const powder = countEntry({ name: 'B', unit: 'kg' }, { full: [{ size: 10, count: 2 }], parts: [weighed] });
	// JCGM 100:2008, 4.3.7: half a step either way, evenly: s = step ÷ √12 = 0.02887 kg; two readings: × √2 = 0.04082 kg.
	expect([liquid, powder].map((read) => (read.ok ? [read.value.counted, read.value.sigma.toFixed(5)] : read))).toEqual([
		[7.5, '0.03402'],
		[29, '0.04082'],
	]);
});

test('letters apart, a swapped pair counted once', () => {
	expect([lettersApart('Marsh', 'Mrash'), lettersApart('kitten', 'sitting'), lettersApart('A', 'a')]).toEqual([
		1, 3, 0,
	]);
});
