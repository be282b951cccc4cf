import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { hazardCode, hazardCodes, hazardSays } from '../../shared/core/products/hazard-codes.ts';
import { hazardSigns, signsOf } from '../../shared/core/products/hazard-signs.ts';

/** The public list; its sources stand in the file. */
const list = JSON.parse(readFileSync(join(import.meta.dirname, 'cases/hazard-statements.json'), 'utf8')) as {
	readonly statements: Readonly<Record<string, string>>;
	readonly classes: readonly (readonly [name: string, codes: string, signs: string])[];
};

test.each(Object.entries(list.statements))('%s says what the regulation says', (code, words) => {
	const plain = (text: string) => text.toLowerCase().replaceAll('. ', '; ');
	expect(hazardCode(code)?.says).toBe(plain(words));
});

test.each(list.classes)('%s (%s) carries %s', (_, codes, signs) => {
	for (const code of codes.split(' ')) expect([code, hazardCode(code)?.signs.join(' ')]).toEqual([code, signs]);
});

test('every statement of annex III is in a class, and every other code the program knows is named here', () => {
	const inClasses = list.classes.flatMap(([, codes]) => codes.split(' '));
	const listed = Object.keys(list.statements);
	expect(listed.filter((code) => code.startsWith('H')).sort()).toEqual([...inClasses].sort());
	// Not in the list that was read: wording from memory, as the table says.
	expect([...hazardCodes.keys()].filter((code) => !listed.includes(code)).sort()).toEqual(
		['EUH208', 'EUH380', 'EUH381', 'EUH430', 'EUH431', 'EUH440', 'EUH441', 'EUH450', 'EUH451']
			.concat(['H227', 'H303', 'H305', 'H313', 'H316', 'H320', 'H333', 'H401', 'H402'])
			.sort(),
	);
});

/** Regulation (EC) No 1272/2008, article 26(1)(b) to (d): which signs give way. */
test.each([
	['the skull stands for every exclamation mark', ['H301', 'H312', 'H335'], ['GHS06']],
	['corrosion stands for irritation', ['H314', 'H319', 'H315'], ['GHS05']],
	['corrosion does not stand for a skin allergy', ['H318', 'H317'], ['GHS05', 'GHS07']],
	['corrosion does not stand for harm', ['H318', 'H302'], ['GHS05', 'GHS07']],
	['the health sign for the airways stands for skin allergy and irritation', ['H334', 'H317', 'H319'], ['GHS08']],
	['the health sign for anything else stands for nothing', ['H373', 'H317'], ['GHS07', 'GHS08']],
	['corrosion of metals counts as corrosion', ['H290', 'H315'], ['GHS05']],
	['flame and cylinder stay side by side', ['H220', 'H280'], ['GHS02', 'GHS04']],
	['each sign once, in the order of their numbers', ['H410', 'H302', 'H317', 'H400', 'X'], ['GHS07', 'GHS09']],
	['statements without a sign', ['H412', 'EUH401'], []],
	['two statements in one', ['H301 + H311'], ['GHS06']],
	['two statements in one, the second by its number', ['H302+332', 'H411'], ['GHS07', 'GHS09']],
] as const)('%s', (_, codes, signs) => {
	expect(signsOf(codes)).toEqual(signs);
});

test('a code is read as it is typed, its letters keep their case, and an unknown one is not guessed', () => {
	expect([
		...[hazardSays('h411'), hazardSays('euh 401'), hazardSays('H360Fd'), hazardSays('H360FD'), hazardSays('H350x')],
		...[hazardSays('H302+H312'), hazardSays('H999'), hazardSays('H302+H999'), hazardSays('')],
	]).toEqual([
		'toxic to aquatic life with long lasting effects',
		'to avoid risks to human health and the environment, comply with the instructions for use',
		'may damage fertility; suspected of damaging the unborn child',
		'may damage fertility; may damage the unborn child',
		'may cause cancer',
		'harmful if swallowed; harmful in contact with skin',
		...[null, null, null],
	]);
	expect(Object.keys(hazardSigns).length).toBe(9);
});
