import { expect, test } from 'vitest';
import { sourcesOnce } from '../../../renderer/pages/settings/rule-sources.ts';
import { ruleSets } from '../../../shared/core/records/rule-sets.ts';

test('a writing is named once where the items that follow one another share it, what it says of one item always', () => {
	const items = [
		{ source: 'A 12, Annex', fromMemory: false },
		{ source: 'A 12, Annex', fromMemory: false },
		{ source: 'A 12, Annex: where it is limited', fromMemory: false },
		{ source: 'B 3', fromMemory: false },
		{ source: 'common practice', fromMemory: true },
		{ source: 'A 12, Annex', fromMemory: false },
	];
	expect(sourcesOnce(items)).toEqual([
		{ writing: 'A 12, Annex', says: '', asAbove: false },
		{ writing: 'A 12, Annex', says: '', asAbove: true },
		{ writing: 'A 12, Annex', says: 'where it is limited', asAbove: true },
		{ writing: 'B 3', says: '', asAbove: false },
		{ writing: 'common practice', says: '', asAbove: false },
		{ writing: 'A 12, Annex', says: '', asAbove: false },
	]);
});

test('no rule set names the same writing on two lines running', () => {
	for (const { items } of ruleSets) {
		const shown = sourcesOnce(items).filter(({ asAbove }) => !asAbove);
		const again = shown.filter(({ writing }, at) => shown[at - 1]?.writing === writing);
		expect(again).toEqual([]);
	}
});
