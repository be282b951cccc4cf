import type { z } from 'zod';
import { addDays, isLocalDate } from '../../shared/basics/calendar.ts';
import type { Product, ProductInput } from '../../shared/contract/products.ts';
import { closureWords } from '../../shared/core/products/closure.ts';
import { type NutrientContent, nutrients, nutrientUnits } from '../../shared/core/products/nutrient.ts';

type Field = keyof z.input<typeof ProductInput>;

/** One column of the product list: its head, how a cell is written, and how one is read; null is a cell nobody can read. */
export type ProductColumn = {
	readonly head: string;
	readonly field: Field;
	readonly example: string;
	readonly write: (product: Product) => string;
	readonly read: (cell: string) => unknown | null;
	readonly must: string;
};

const text = (field: Field & keyof Product, head: string, example: string): ProductColumn => ({
	...{ head, field, example, must: 'is too long or empty' },
	write: (product) => String(product[field] ?? ''),
	read: (cell) => cell,
});

const number = (field: Field & keyof Product, head: string, example: string): ProductColumn => ({
	...{ head, field, example, must: 'must be a number above zero, such as 1.05' },
	write: (product) => (product[field] == null ? '' : String(product[field])),
	read: numberOf,
});

const date = (field: Field & keyof Product, head: string, example: string): ProductColumn => ({
	...{ head, field, example, must: 'must be a date such as 2029-06-30' },
	write: (product) => String(product[field] ?? ''),
	read: dateOf,
});

const yes = (field: Field & keyof Product, head: string): ProductColumn => ({
	...{ head, field, example: 'no', must: 'must be yes or no' },
	write: (product) => (product[field] ? 'yes' : 'no'),
	read: (cell) => ({ yes: true, no: false })[cell.toLowerCase()] ?? null,
});

const names = (field: 'after' | 'before', head: string): ProductColumn => ({
	...{ head, field, example: '', must: 'must be names parted by semicolons' },
	write: (product) => product[field].join('; '),
	read: (cell) => allOf(cell, (part) => part),
});

/** The columns of the product list, in the order they are written. Lists inside a cell are parted by semicolons. */
export const productColumns: readonly ProductColumn[] = [
	text('name', 'name', 'Example 250'),
	text('formulation', 'formulation', 'EC'),
	{ ...text('coding', 'code system', ''), must: 'must be international or north american', read: codingOf },
	{ ...text('unit', 'unit', 'L'), must: 'must be L or kg', read: unitOf },
	{
		...{
			head: 'pack sizes',
			field: 'packSizes',
			example: '5; 10',
			must: 'must be numbers parted by semicolons: 5; 10',
		},
		write: ({ packSizes }) => packSizes.join('; '),
		read: (cell) => allOf(cell, numberOf),
	},
	number('relativeDensity', 'relative density', '1.05'),
	number('displacementLPerKg', 'litres taken up per kg', ''),
	{ ...text('kind', 'kind', 'plant protection product'), must: 'is not a kind of product the program knows' },
	{
		...{ head: 'active substances', field: 'actives', example: 'prothioconazole 250 g/L (FRAC 3)' },
		must: 'must read like: prothioconazole 250 g/L (FRAC 3); tebuconazole 125 g/L',
		write: ({ actives }) => actives.map(activeWords).join('; '),
		read: (cell) => allOf(cell, activeOf),
	},
	{
		...{ head: 'nutrients', field: 'nutrients', example: '' },
		must: 'must read like: N 28 % w/w; SO3 7.5 kg/100 L, each nutrient once',
		write: ({ nutrients }) =>
			(nutrients ?? []).map(({ nutrient, content, contentUnit }) => `${nutrient} ${content} ${contentUnit}`).join('; '),
		read: (cell) => allOf(cell, nutrientOf),
	},
	text('authorisationNo', 'authorisation number', 'EXAMPLE-1'),
	date('authorisationEnds', 'authorised until', '2029-06-30'),
	date('saleEnds', 'sold until', ''),
	date('useUpBy', 'use up by', ''),
	text('holder', 'holder', ''),
	{
		...{
			head: 'hazard statements',
			field: 'hazards',
			example: 'H317; H410',
			must: 'must be codes parted by semicolons',
		},
		write: ({ hazards }) => hazards.join('; '),
		read: (cell) => allOf(cell, (part) => part),
	},
	yes('waterSolubleBag', 'water-soluble bag'),
	yes('closedTransfer', 'closed transfer'),
	{
		...{ head: 'closures', field: 'closures', example: '5: 63 mm cap, foil; 10: 63 mm cap, closed transfer' },
		must: 'must read like: 5: 63 mm cap, foil; 10: 63 mm cap, closed transfer',
		write: ({ closures }) => (closures ?? []).map((each) => `${each.size}: ${closureWords(each)}`).join('; '),
		read: (cell) => allOf(cell, closureOf),
	},
	names('after', 'goes in after'),
	names('before', 'goes in before'),
	text('protection', 'protective equipment', ''),
	text('cautions', 'cautions and mixing', ''),
	text('storage', 'storage', ''),
	text('place', 'stands at', ''),
];

function codingOf(cell: string): string | null {
	return ['international', 'north american'].find((coding) => coding === cell.toLowerCase()) ?? null;
}

function unitOf(cell: string): string | null {
	return { l: 'L', kg: 'kg' }[cell.toLowerCase()] ?? null;
}

/** A point or a comma before the decimals; nothing is grouped. */
function numberOf(cell: string): number | null {
	return /^\d+([.,]\d+)?$/.test(cell) ? Number(cell.replace(',', '.')) : null;
}

/** Days since 30 December 1899, as workbooks keep a date (ECMA-376, 18.17.4.1), or an ISO date. */
function dateOf(cell: string): string | null {
	if (/^\d{5}(\.0+)?$/.test(cell)) return addDays('1899-12-30', Number(cell));
	return isLocalDate(cell) ? cell : null;
}

function allOf<Item>(cell: string, read: (part: string) => Item | null): Item[] | null {
	const items: Item[] = [];
	for (const part of cell.split(';').map((each) => each.trim())) {
		if (part === '') continue;
		const item = read(part);
		if (item === null) return null;
		items.push(item);
	}
	return items;
}

function closureOf(part: string): Product['closures'][number] | null {
	const [, sizeText = '', words = ''] = /^(\d+(?:[.,]\d+)?) *: *(.+)$/.exec(part) ?? [];
	const size = numberOf(sizeText);
	if (size === null || size === 0) return null;
	const said = words
		.toLowerCase()
		.split(',')
		.map((word) => word.trim());
	const caps = said.flatMap((word) => /^(\d+(?:\.\d+)?) *mm cap$/.exec(word)?.[1] ?? []);
	const rest = said.filter((word) => !/^((\d+(?:\.\d+)?) *mm )?cap$/.test(word));
	if (rest.some((word) => word !== 'foil' && word !== 'closed transfer') || caps.length > 1) return null;
	const capMm = caps[0] === undefined ? {} : { capMm: Number(caps[0]) };
	return { size, foil: rest.includes('foil'), ...capMm, closedTransfer: rest.includes('closed transfer') };
}

type Active = Product['actives'][number];

function activeWords({ substance, content, contentUnit, modeOfAction }: Active): string {
	return `${substance} ${content} ${contentUnit}${modeOfAction ? ` (${modeOfAction})` : ''}`;
}

function activeOf(part: string): Active | null {
	const found = /^(.{1,200}?) +(\d+(?:[.,]\d+)?) *(g\/L|g\/kg|%)(?: *\(([^()]{1,20})\))?$/i.exec(part);
	const [, substance, content = '', unit = '', modeOfAction] = found ?? [];
	const contentUnit = (['g/L', 'g/kg', '%'] as const).find((each) => each.toLowerCase() === unit.toLowerCase());
	const amount = numberOf(content);
	if (!substance || amount === null || !contentUnit) return null;
	return { substance, content: amount, contentUnit, ...(modeOfAction ? { modeOfAction } : {}) };
}

/** A percentage of a nutrient is by mass on every label; `kg/100L` and `%` are read as well. */
function nutrientOf(part: string): NutrientContent | null {
	const [, symbol = '', content = '', unit = ''] = /^([a-z0-9]+) +(\d+(?:[.,]\d+)?) *(\S.*)$/i.exec(part) ?? [];
	const nutrient = nutrients.find((each) => each.toLowerCase() === symbol.toLowerCase());
	const said = unit.toLowerCase().replace(/ /g, '');
	const contentUnit = nutrientUnits.find(
		(each) => each.toLowerCase().replace(/ /g, '') === (said === '%' ? '%w/w' : said),
	);
	const amount = numberOf(content);
	return nutrient && contentUnit && amount !== null ? { nutrient, content: amount, contentUnit } : null;
}
