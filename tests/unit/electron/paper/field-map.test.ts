import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findBrowser, findOnPath } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { pdfPages } from '../../../../electron/paper/pdf-pages.ts';
import { paperProgram } from '../../../../electron/paper/render.ts';
import type { FieldMapPaper } from '../../../../shared/contract/fields-papers.ts';
import { refusal, testBooks } from '../procedures/test-books.ts';
import { scratchFolder } from '../scratch.ts';

const crops = ['Winter wheat', 'Spring beans', 'Sugar beet', 'Winter barley', 'Maize', 'Rye <b>', 'Łubin'];

function mapOf(by: FieldMapPaper['by']): FieldMapPaper {
	return {
		...{ farm: 'Thornmere Farm', season: 2027, madeAt: '2027-04-15T10:00:00+02:00', by },
		fields: crops.map((crop, index) => {
			const [west, south] = [10 + (index % 3) * 0.005, 52 + Math.floor(index / 3) * 0.003];
			const [east, north] = [west + 0.0048, south + 0.0028];
			const ring = [
				[west, south],
				[east, south],
				[east, north],
				[west, north],
				[west, south],
			];
			const geometry = { type: 'Polygon' as const, coordinates: [ring] };
			const pond = { kind: 'obstacle' as const, geometry };
			return {
				...{ id: `f${index}`, name: `</svg><script>${index}`, code: null, crop, geometry, version: 1 },
				...{ measuredHa: 10, sigmaHa: 0.05, mappedHa: 10.2, loadForHa: 9.8 + index / 100, perimeterM: 1300 },
				...{ loadForBasis: 'boundary' as const, differenceHa: -0.2, edgeStripM: index - 3, withinTolerance: index < 4 },
				leftOut: index === 0 ? [pond] : [],
			};
		}),
	};
}

const reader = findOnPath('pdftotext');
const canRead = findBrowser() !== null && reader !== null;

test.skipIf(!canRead)(
	'names, areas and classes can be read on the sheet (skipped without a browser and pdftotext)',
	async () => {
		const { fieldMapHtml } = await paperProgram();
		const pdf = await createBrowserPrinter().pdf(fieldMapHtml(mapOf('crop'), { units: 'metric' }));
		if (!pdf.ok) return expect.fail(pdf.problem.code);
		const file = join(scratchFolder(), 'map.pdf');
		writeFileSync(file, pdf.value);
		const text = execFileSync(reader ?? '', ['-layout', file, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ');
		expect(pdfPages(pdf.value)).toBe(1);
		expect(text).toContain('Fields by crop, harvest 2027');
		for (const crop of crops) expect(text).toContain(`${crop}: 1 field`);
		for (const index of crops.keys()) expect(text).toContain(`</svg><script>${index}`);
		expect(text).toContain('9.80 ha');
		expect(text).toMatch(/1 : \d/);
	},
);

test('beyond five crops each field carries the letter of its crop; differences carry their metres', async () => {
	const { fieldMapHtml } = await paperProgram();
	const letters = [...fieldMapHtml(mapOf('crop'), { units: 'metric' }).matchAll(/>([A-Z]) · /g)].map(
		([, letter]) => letter,
	);
	expect(letters.toSorted()).toEqual(['A', 'B', 'C', 'D', 'E', 'F', 'G']);
	const html = fieldMapHtml(mapOf('difference'), { units: 'metric' });
	expect(html).not.toContain('<script>');
	expect([...html.matchAll(/>([+−]?\d\.\d m)</g)].map(([, metres]) => metres)).toEqual([
		'−3.0 m',
		'−2.0 m',
		'−1.0 m',
		'0.0 m',
		'+1.0 m',
		'+2.0 m',
		'+3.0 m',
	]);
});

test('on a farm with US customary units the map has acres, feet and a bar of feet', async () => {
	const { fieldMapHtml } = await paperProgram();
	const us = { units: 'US customary' } as const;
	const crop = fieldMapHtml(mapOf('crop'), us);
	expect(crop).toContain('>24.22 ac<');
	expect(crop).toMatch(/>500 ft · 1 : 6,000</);
	expect(crop).toContain('Acres are the area to load for.');
	expect(crop).not.toMatch(/\d ha\b/);
	const difference = fieldMapHtml(mapOf('difference'), us);
	expect(difference).toContain('>+9.8 ft<');
	expect(difference).toContain('Feet are the difference');
	expect(difference).not.toMatch(/\d m</);
});

test('without a boundary there is no map', async () => {
	const { api } = testBooks();
	await api.fields.add({ name: 'Bare', mappedHa: 3 });
	expect((await refusal(api.fields.printMap({}))).code).toBe('fields.nothingToDraw');
});
