import { expect, test } from 'vitest';
import { chooseEncoding } from '../../../../electron/files/text-encoding.ts';

const western = ['Åkermark', 'Grünland am Bach', 'Champ'].map((text) => Buffer.from(text, 'latin1'));
const clues = { asked: undefined, codePageFile: null, languageDriver: 0, texts: western };

test('where only the bytes speak, each reading in which the names are names is told, once', () => {
	const { encoding, readings } = chooseEncoding(clues);
	expect([encoding.name, readings]).toEqual([
		'windows-1252',
		[
			{ encoding: 'windows-1252', samples: ['Åkermark', 'Grünland am Bach'] },
			{ encoding: 'windows-1250', samples: ['Ĺkermark', 'Grünland am Bach'] },
		],
	]);
});

test('an answer decides, and may be changed; a .cpg that is contradicted by the bytes is asked about', () => {
	const answered = chooseEncoding({ ...clues, asked: 'windows-1250' });
	expect([answered.encoding.name, answered.warning, answered.readings.length]).toEqual(['windows-1250', null, 2]);
	const wrong = chooseEncoding({ ...clues, codePageFile: 'UTF-8' });
	expect([wrong.encoding.name, wrong.warning?.code, wrong.readings.length]).toEqual([
		'windows-1252',
		'encoding.wrong',
		2,
	]);
});

test.each([
	['a .cpg', { codePageFile: 'ISO-8859-1' }],
	['a language driver', { languageDriver: 0x57 }],
	['bytes that can only be UTF-8', { texts: [Buffer.from('Åkermark', 'utf8')] }],
	['plain letters', { texts: [Buffer.from('Home Field')] }],
])('%s leaves nothing to ask', (_, known) => {
	expect(chooseEncoding({ ...clues, ...known }).readings).toEqual([]);
});

/** Central European names in their own page of bytes; decoded as western ones, signs stand in the middle of words. */
test('the likeliest page is the one in which words are made of letters', () => {
	// "Łąka Stara", "Nad Rzeką", "Zagórze" in windows-1250.
	const central = [
		[0xa3, 0xb9, 0x6b, 0x61, 0x20, 0x53, 0x74, 0x61, 0x72, 0x61],
		[0x4e, 0x61, 0x64, 0x20, 0x52, 0x7a, 0x65, 0x6b, 0xb9],
		[0x5a, 0x61, 0x67, 0xf3, 0x72, 0x7a, 0x65],
	].map((bytes) => Buffer.from(bytes));
	const { encoding, warning, readings } = chooseEncoding({ ...clues, texts: central });
	expect([encoding.name, readings]).toEqual(['windows-1250', []]);
	expect(warning?.message).toContain('“Łąka Stara”');
	// A sign that stands by itself says nothing against a page.
	const half = chooseEncoding({ ...clues, texts: [Buffer.from('Grünland \xbd', 'latin1')] });
	expect(half.encoding.name).toBe('windows-1252');
});
