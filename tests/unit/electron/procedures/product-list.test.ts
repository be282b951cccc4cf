import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { refusal, testBooks } from './test-books.ts';

const HEADS = 'Name,Formulation,Unit,Pack sizes,Relative density,Active substances,Authorised until,Hazard statements';

test('a list that goes out as CSV or XLSX comes back the same', async () => {
	const { api, folder } = testBooks();
	await api.products.add({
		name: '=Plus 250',
		formulation: 'EC',
		unit: 'L',
		packSizes: [10, 2.5],
		relativeDensity: 1.05,
		actives: [
			{ substance: 'prothioconazole', content: 250, contentUnit: 'g/L', modeOfAction: 'FRAC 3' },
			{ substance: 'tebuconazole', content: 12.5, contentUnit: '%' },
		],
		nutrients: [
			{ nutrient: 'N', content: 28.5, contentUnit: '% w/w' },
			{ nutrient: 'SO3', content: 0, contentUnit: 'kg/100 L' },
		],
		authorisationEnds: '2029-06-30',
		saleEnds: '2029-09-30',
		coding: 'international',
		after: ['Fen oil', 'Marl 250'],
		closures: [
			{ size: 2.5, foil: true, closedTransfer: false },
			{ size: 10, foil: false, capMm: 63, closedTransfer: true },
		],
		hazards: ['H317', 'H410'],
		cautions: 'Shake; "well", always',
	});
	const before = await api.products.list({});
	for (const format of ['csv', 'xlsx'] as const) {
		const { path, rows } = await api.products.exportList({ format, path: join(folder, `list.${format}`) });
		expect(rows).toBe(1);
		expect(await api.products.importList({ path })).toEqual({ added: [], changed: [], same: 1, refused: [] });
		const other = testBooks();
		expect(await other.api.products.importList({ path })).toMatchObject({ added: ['=Plus 250'], refused: [] });
		const strip = (list: typeof before) => list.map(({ id: _, ...rest }) => rest);
		expect(strip(await other.api.products.list({}))).toEqual(strip(before));
	}
	expect(readFileSync(join(folder, 'list.csv'), 'utf8')).toContain(`"'=Plus 250"`);
});

test('bad rows are refused by number and column, good ones come in, blank cells change nothing', async () => {
	const { api, folder } = testBooks();
	await api.products.add({ name: 'Known', formulation: 'SC', unit: 'L', packSizes: [5], hazards: ['H410'] });
	const path = join(folder, 'list.csv');
	const rows = [
		'Known,SC,,,,,31/06/2030,',
		'Known,SC,L,5; 10,"1,1",,2030-06-30,',
		'New,wg,kg,0.5,,thing 80 %,,H302',
		'Heavy,SL,kg,5,,,,',
		'Odd,SC,gallons,5,,,,',
		'Nameless code,,L,5,,,,',
		'Letters,QQ,L,5,,,,',
		'Content,SC,L,5,,thing lots,,',
		'New,WG,kg,1,,,,',
		'Sizeless,SC,L,,,,,',
	];
	writeFileSync(path, `${HEADS}\n\n${rows.join('\n')}\n`);
	const preview = await api.products.importList({ path, dryRun: true });
	expect((await api.products.list({})).length).toBe(1);
	const done = await api.products.importList({ path });
	expect(done).toEqual(preview);
	expect({ added: done.added, changed: done.changed }).toEqual({ added: ['New'], changed: ['Known'] });
	expect(done.refused.map(({ row, column }) => [row, column])).toEqual([
		[3, 'authorised until'],
		[6, 'relative density'],
		[7, 'unit'],
		[8, 'formulation'],
		[9, 'formulation'],
		[10, 'active substances'],
		[11, 'name'],
		[12, 'pack sizes'],
	]);
	const known = (await api.products.list({})).find(({ name }) => name === 'Known');
	expect(known).toMatchObject({ packSizes: [5, 10], relativeDensity: 1.1, hazards: ['H410'], version: 2 });
});

test('a file that is no product list is refused as a whole, and names the cure', async () => {
	const { api, folder } = testBooks();
	const write = (name: string, text: string | Uint8Array) => {
		writeFileSync(join(folder, name), text);
		return join(folder, name);
	};
	const codes = [];
	for (const path of [
		join(folder, 'nowhere.csv'),
		write('heads.csv', 'product;amount\nA;1\n'),
		write('strange.csv', 'name,formulation,colour\nA,SC,red\n'),
		write('binary.csv', new Uint8Array([1, 0, 2, 0])),
		write('half.xlsx', new Uint8Array([0x50, 0x4b, 3, 4, 0, 0])),
	]) {
		codes.push((await refusal(api.products.importList({ path }))).code);
	}
	expect(codes).toEqual(['file.missing', 'file.notTable', 'file.notTable', 'file.notTable', 'file.damaged']);
	const { path } = await api.products.exportList({ format: 'xlsx', template: true, path: join(folder, 'empty.xlsx') });
	expect(await api.products.importList({ path, dryRun: true })).toMatchObject({ added: ['Example 250'], refused: [] });
});
