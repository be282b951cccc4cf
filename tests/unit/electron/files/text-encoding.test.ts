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
