import { expect, test } from 'vitest';
import { carryOver, isHerbicide } from '../../../../../shared/core/sprayers/carry-over.ts';

const wheat = ['Winter wheat', 'TRZAW'] as const;
const beet = ['Sugar beet', 'BEAVA'] as const;

test('weed killers that are not for the next crop come first; a crop on the label is passed over', () => {
	const last = [
		{ name: 'Fungicide', herbicide: false, crops: ['TRZAW'] },
		{ name: 'Unknown', herbicide: true, crops: null },
		{ name: 'Weed killer', herbicide: true, crops: ['trzaw', 'HORVW'] },
	];
	expect(carryOver(last, [wheat, beet]).map(({ product, crops, verdict }) => [product, crops, verdict])).toEqual([
		['Weed killer', ['Sugar beet'], 'not on its label'],
		['Fungicide', ['Sugar beet'], 'not on its label'],
		['Unknown', ['Winter wheat', 'Sugar beet'], 'not known'],
	]);
	expect(carryOver(last.slice(2), [beet])[0]?.say).toBe(
		'Weed killer is not for Sugar beet by its label; a weed killer: a rest of it can mark or kill the crop.',
	);
	expect([carryOver([], [beet]), carryOver(last, [])]).toEqual([[], []]);
});

test('weed killers are told by their mode-of-action group', () => {
	expect(
		[['HRAC 9'], ['wssa 4', null], ['FRAC 3', 'HRAC 2'], ['FRAC 11'], ['IRAC 3A', undefined], []].map(isHerbicide),
	).toEqual([true, true, true, false, false, false]);
});
