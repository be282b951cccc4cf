import { describe, expect, test } from 'vitest';
import { drawBetween } from '../../../../../shared/core/loads/container-draw.ts';
import { containerSequence } from '../../../../../shared/core/loads/container-sequence.ts';
import type { ProductToLoad } from '../../../../../shared/core/loads/loads-request.ts';
import { product } from './job.ts';

const L = 1_000_000;
const sequence = (need: number, given: Partial<ProductToLoad>) => {
	const made = containerSequence(product(given), need * L, 0.01 * L, 'products.0');
	return made.ok ? made.value : { ends: [], opened: 0 };
};
const ends = (need: number, given: Partial<ProductToLoad>) => sequence(need, given).ends.map((end) => end / L);

describe('the order in which containers are drawn', () => {
	test.each([
		['packs of one size, and one to spare', 12, { packSizes: [5] }, [5, 10, 15, 20]],
		['the opened pack first', 12, { packSizes: [5], openedPack: 3.2 }, [3.2, 8.2, 13.2, 18.2]],
		['the opened pack is enough', 3, { packSizes: [5], openedPack: 3.2 }, [3.2, 8.2]],
		['the largest first, whole small ones for the rest', 16, { packSizes: [1, 5, 10] }, [10, 15, 16, 17]],
		['the smallest pack that holds a rest with a measured pour', 53.4, { packSizes: [1, 5, 20] }, [20, 40, 60, 61]],
		['a need a step above whole packs opens none', 10.01, { packSizes: [5] }, [5, 10, 15]],
		[
			'what is in the store in its order, then packs as they come',
			20,
			{
				packSizes: [5],
				openedPack: 1,
				onShelf: [
					{ size: 1.5, opened: true },
					{ size: 2, opened: true },
					{ size: 10, opened: false },
					{ size: 1, opened: false },
				],
			},
			[1.5, 3.5, 13.5, 14.5, 19.5, 24.5, 29.5],
		],
		['no pack size known', 12, { packSizes: [], openedPack: 2 }, [2, Number.POSITIVE_INFINITY]],
	] as const)('%s', (_, need, given, expected) => {
		expect(ends(need, given)).toEqual(expected);
	});
});

describe('where one load takes its amount from', () => {
	const draw = (from: number, to: number, given: Partial<ProductToLoad>) =>
		drawBetween(sequence(40, given), Math.round(from * L), Math.round(to * L));

	test.each([
		[
			'whole packs and a measured pour',
			[0, 12],
			{ packSizes: [5] },
			{ fromOpened: 0, fullPacks: [{ size: 5, count: 2 }], measured: 2, containers: 3, opened: 3 },
		],
		[
			'the rest of a pack opened before, whole packs, a measured pour',
			[12, 24],
			{ packSizes: [5] },
			{ fromOpened: 3, fullPacks: [{ size: 5, count: 1 }], measured: 4, containers: 3, opened: 2 },
		],
		[
			'the opened pack is emptied: nothing to measure',
			[0, 8.2],
			{ packSizes: [5], openedPack: 3.2 },
			{ fromOpened: 3.2, fullPacks: [{ size: 5, count: 1 }], measured: 0, containers: 2, opened: 1 },
		],
		[
			'part of the opened pack is measured',
			[0, 3],
			{ packSizes: [5], openedPack: 3.2 },
			{ fromOpened: 0, fullPacks: [], measured: 3, containers: 1, opened: 0 },
		],
		[
			'two sizes',
			[10, 40],
			{ packSizes: [20, 15, 5] },
			{ fromOpened: 10, fullPacks: [{ size: 20, count: 1 }], measured: 0, containers: 2, opened: 1 },
		],
		['nothing', [5, 5], { packSizes: [5] }, { fromOpened: 0, fullPacks: [], measured: 0, containers: 0, opened: 0 }],
		[
			'unknown packs',
			[5, 9],
			{ packSizes: [] },
			{ fromOpened: 0, fullPacks: [], measured: 4, containers: 1, opened: 0 },
		],
	] as const)('%s', (_, [from, to], given, expected) => {
		expect(draw(from, to, given)).toEqual(expected);
	});
});
