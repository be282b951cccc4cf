import { describe, expect, test } from 'vitest';
import { guessAttributes } from '../../../../electron/files/guess-attributes.ts';
import type { AttributeKind, AttributeValue } from '../../../../electron/files/layer.ts';

const areasHa = [12.5, 4.07, 0.93, 33.1, 7.77, 2.2];
const column = (name: string, values: readonly AttributeValue[], kind: AttributeKind = 'number') => ({
	name,
	kind,
	values,
});

function guess(columns: readonly ReturnType<typeof column>[], given?: string) {
	const records = areasHa.map((_, index) => ({
		properties: Object.fromEntries(columns.map(({ name, values }) => [name, values[index] ?? null])),
	}));
	return guessAttributes({ attributes: columns, records }, areasHa, given);
}

const area = (name: string, unit: number, spread = 0) =>
	column(
		name,
		areasHa.map((hectares, index) => hectares * unit * (1 + (index % 2 === 0 ? spread : -spread))),
	);

describe('the mapped area', () => {
	test.each([
		['hectares', area('AREA', 1), 'ha'],
		['square metres', area('flaeche', 10_000), 'm2'],
		['acres', area('ACRES', 2.4710538), 'ac'],
		['square feet', area('Shape_Area', 107_639.1), 'ft2'],
		['square kilometres', area('superficie', 0.01), 'km2'],
		['hectares of a declaration, 2 % off', area('SURF_DECL', 1, 0.02), 'ha'],
		[
			'hectares with a comma, as text',
			column(
				'Størrelse areal',
				areasHa.map((hectares) => hectares.toFixed(2).replace('.', ',')),
				'text',
			),
			'ha',
		],
	])('%s', (_, made, unit) => {
		const { mappedArea, mappedAreaUnit } = guess([made]);
		expect([mappedArea, mappedAreaUnit]).toEqual([made.name, unit]);
	});

	test.each([
		['square degrees', area('AREA', 1e-6)],
		[
			'a perimeter',
			column(
				'PERIMETER',
				areasHa.map((hectares) => 4 * Math.sqrt(hectares * 10_000)),
			),
		],
		[
			'a year',
			column(
				'YEAR',
				areasHa.map(() => 2026),
			),
		],
		['ares, in which no unit fits', area('AREA', 100)],
		['yields that happen to be near', column('YIELD', [12.9, 3.2, 1.4, 30, 9.9, 1.1])],
	])('%s never pass for it', (_, made) => {
		expect(guess([made])).toMatchObject({ mappedArea: null, mappedAreaUnit: null });
	});

	test('a heading that names the unit is believed unless the figures are twice off', () => {
		expect([guess([area('area_ha', 1.4)]), guess([area('area_ha', 2.5)])]).toMatchObject([
			{ mappedArea: 'area_ha', mappedAreaUnit: 'ha' },
			{ mappedArea: null, mappedAreaUnit: null },
		]);
	});

	test('of several, the one with a heading and the nearest to the measured is taken', () => {
		const columns = [area('GB', 1), area('DECL_VYM', 1, 0.02), area('ZAKRES_VYM', 1, 0.001), area('BLOK_VYM', 1.05)];
		expect(guess(columns)).toMatchObject({ mappedArea: 'ZAKRES_VYM', mappedAreaUnit: 'ha' });
	});

	test('a given column keeps its name; its unit is null where it is not sure', () => {
		expect([
			guess([area('VALUE', 1), area('AREA', 10_000)], 'VALUE'),
			guess([area('AREA', 1e-6)], 'AREA'),
		]).toMatchObject([
			{ mappedArea: 'VALUE', mappedAreaUnit: 'ha' },
			{ mappedArea: 'AREA', mappedAreaUnit: null },
		]);
	});
});

describe('names and codes', () => {
	const unique = ['a', 'b', 'c', 'd', 'e', 'f'];
	const crops = ['wheat', 'wheat', 'wheat', 'barley', 'barley', 'wheat'];

	test.each(['NAME', 'Feldname', 'navn', 'nom', 'Nombre', 'nazwa', 'název', 'field_name'])(
		'%s is the name',
		(heading) => {
			expect(guess([column('CROP', crops, 'text'), column(heading, unique, 'text')]).name).toBe(heading);
		},
	);

	test('names may repeat where the heading says name and nothing else', () => {
		expect(guess([column('NAME', ['Home', 'Home', 'Home', 'HOME', 'Home ', 'Far'], 'text')])).toMatchObject({
			name: 'NAME',
			code: null,
		});
	});

	test('a crop is no name, a sowing date no code', () => {
		expect(guess([column('CROP_NAME', crops, 'text'), column('sown_id', unique, 'date')])).toMatchObject({
			name: null,
			code: null,
		});
	});

	test('a code tells the fields apart and names them where nothing else does', () => {
		expect(
			guess([column('Marknr', ['1', '1', '1', '2', '2', '2'], 'text'), column('parcel_id', unique, 'text')]),
		).toMatchObject({
			name: 'Marknr',
			code: 'parcel_id',
		});
		expect(guess([column('FIELD_ID', [1, 2, 3, 4, 5, 6])])).toMatchObject({ name: 'FIELD_ID', code: 'FIELD_ID' });
	});

	test('crops by their heading and their words; codes and figures are no crops', () => {
		const name = column('name', ['A', 'B', 'C', 'D', 'E', 'F'], 'text');
		const crops = column('Kultur', ['Raps', 'Weizen', 'Raps', 'Gerste', 'Raps', 'Weizen'], 'text');
		const sorts = column('Sorte', ['Alba', 'Bera', 'Alba', 'Cora', 'Alba', 'Bera'], 'text');
		expect(guess([name, crops, sorts])).toMatchObject({ crop: 'Kultur', variety: 'Sorte' });
		const codes = column('CROP', ['115', '311', '115', '131', '311', '115'], 'text');
		expect(guess([name, codes])).toMatchObject({ crop: null, variety: null });
		const numbered = column('crop_code', ['WWH', 'OSR', 'WWH', 'BAR', 'OSR', 'WWH'], 'text');
		expect(guess([name, numbered])).toMatchObject({ crop: null });
		const capitals = column('culture_d1', ['DFV', 'DPH', 'DFV', 'DPH', '', ''], 'text');
		expect(guess([name, capitals])).toMatchObject({ crop: null });
		const other = column('remark', ['Raps', 'Weizen', 'Raps', 'Gerste', 'Raps', 'Weizen'], 'text');
		expect(guess([name, other])).toMatchObject({ crop: null });
	});

	test('EPPO codes of crops are codes, under any heading; five letters that are no codes are words', () => {
		const name = column('name', ['A', 'B', 'C', 'D', 'E', 'F'], 'text');
		const codes = ['TRZAX', 'BRSNW', 'TRZAX', 'HORVW', 'BEAVA', ''];
		expect(guess([name, column('crop', codes, 'text')])).toMatchObject({ crop: null, cropCode: 'crop' });
		const both = [
			column('kultur', ['Weizen', 'Raps', 'Weizen', 'Gerste', 'Rüben', ''], 'text'),
			column('k2', codes, 'text'),
		];
		expect(guess([name, ...both])).toMatchObject({ crop: 'kultur', cropCode: 'k2' });
		const rare = column('EPPO_CODE', ['QQQQX', 'WWWWX', 'QQQQX', 'WWWWX', 'QQQQX', 'WWWWX'], 'text');
		expect(guess([name, rare])).toMatchObject({ crop: null, cropCode: 'EPPO_CODE' });
		const loud = column('crop', ['WHEAT', 'BEANS', 'MAIZE', 'WHEAT', 'WHEAT', 'BEANS'], 'text');
		expect(guess([name, loud])).toMatchObject({ crop: 'crop', cropCode: null });
	});

	test('nothing is guessed from nothing', () => {
		expect(guessAttributes({ attributes: [], records: [] }, [])).toEqual({
			name: null,
			code: null,
			mappedArea: null,
			mappedAreaUnit: null,
			crop: null,
			cropCode: null,
			variety: null,
		});
	});
});
