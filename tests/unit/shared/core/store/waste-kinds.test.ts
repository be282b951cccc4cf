import { expect, test } from 'vitest';
import { hazardCode, hazardCodes, signsOf } from '../../../../../shared/core/products/hazard-codes.ts';
import { keepUntil } from '../../../../../shared/core/store/waste-kinds.ts';

test('papers are kept 2 years for a transfer note, 3 for a consignment note, the longest counts (NetRegs)', () => {
	expect([
		keepUntil('2026-11-30', ['rinsed containers']),
		keepUntil('2026-11-30', ['rinsed containers', 'product']),
		keepUntil('2028-02-29', ['rinsed containers']),
		keepUntil('2028-02-29', ['unrinsed containers']),
	]).toEqual(['2028-11-30', '2029-11-30', '2030-03-01', '2031-03-01']);
});

/** Regulation (EC) No 1272/2008, annex I, label elements by class: the sign each group of statements carries. */
const groups: readonly (readonly [string, string | null])[] = [
	['H226', 'GHS02'],
	['H290 H314 H318', 'GHS05'],
	['H301 H311 H330 H331', 'GHS06'],
	['H302 H312 H315 H317 H319 H332 H335 H336', 'GHS07'],
	['H304 H334 H340 H341 H350 H351 H360 H361 H370 H371 H372 H373', 'GHS08'],
	['H400 H410 H411', 'GHS09'],
	['H362 H412 H413', null],
];

test('every hazard statement has the sign of its class', () => {
	const listed = groups.flatMap(([codes, sign]) => codes.split(' ').map((code) => [code, sign]));
	const known = Object.entries(hazardCodes).filter(([code]) => code.startsWith('H'));
	expect(known.map(([code, { sign }]) => [code, sign]).sort()).toEqual(listed.sort());
});

test('a suffix is read with its statement; an unknown code is not guessed', () => {
	expect([hazardCode('H361fd')?.says, hazardCode('H999'), signsOf(['H410', 'H302', 'H317', 'X'])]).toEqual([
		'suspected of damaging fertility or the unborn child',
		null,
		['GHS07', 'GHS09'],
	]);
});
