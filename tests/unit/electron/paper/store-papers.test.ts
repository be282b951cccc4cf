import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { demoStore } from '../../../../electron/demo/demo-store.ts';
import { findBrowser, findOnPath } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { pdfPages } from '../../../../electron/paper/pdf-pages.ts';
import { paperProgram } from '../../../../electron/paper/render.ts';
import type { EmergencyList, EmergencyPage } from '../../../../shared/contract/store-papers.ts';
import { scratchFolder } from '../scratch.ts';

const reader = findOnPath('pdftotext');
const canRead = findBrowser() !== null && reader !== null;

const statements = ['H302', 'H317', 'H319', 'H335', 'H373', 'H410', 'H411', 'EUH401', 'H226', 'H304', 'H361d', 'H290'];

function listOf(products: number, plan: EmergencyPage['plan']): EmergencyList {
	const page = {
		...{ store: '', storedL: 812, planPicture: null, plan },
		...{ place: demoStore.place, contacts: demoStore.contacts, bundL: demoStore.bundL },
		lines: Array.from({ length: products }, (_, index) => ({
			...{ name: `Invented-${index + 1}-`, formulation: 'SC', unit: 'L' as const, amount: 12.34 },
			...{ containers: '4 × 10 L, 2 × 5 L, 1 opened', actives: 'prothioconazole, tebuconazole' },
			place: `Shelf ${(index % 4) + 1}`,
			hazards: statements.filter((_, at) => (at + index) % 4 === 0),
		})),
	};
	return { farm: 'Alder Farm', madeAt: '2026-11-25T14:01:00+01:00', stores: [page] };
}

test.skipIf(!canRead).each([
	[3, null],
	[14, demoStore.plan],
	[30, demoStore.plan],
	[45, demoStore.plan],
	[45, null],
])(
	'the list for emergencies of %i products stands on one page (skipped without a browser and pdftotext)',
	async (products, plan) => {
		const { emergencyListHtml } = await paperProgram();
		const pdf = await createBrowserPrinter().pdf(emergencyListHtml(listOf(products, plan), { units: 'metric' }));
		if (!pdf.ok) return expect.fail(pdf.problem.code);
		expect(pdfPages(pdf.value)).toBe(1);
		const file = join(scratchFolder(), 'list.pdf');
		writeFileSync(file, pdf.value);
		const text = execFileSync(reader ?? '', ['-layout', file, '-'], { encoding: 'utf8' });
		const together = text.replace(/\s+/g, '');
		const words = [
			`Invented-${products}-`,
			'AlderFarm',
			'H302harmfulifswallowed',
			...(plan ? ['5Pallet', 'bund', '1m'] : []),
		];
		expect(words.filter((word) => !together.includes(word))).toEqual([]);
	},
);

/** 1 US gallon is 3.785411784 L, 1 pound 0.45359237 kg: 20 L are 5.28 gal, 10 kg 22.05 lb. */
test('a farm with US customary units reads the papers of its store in gallons and pounds', async () => {
	const { countSheetHtml, emergencyListHtml } = await paperProgram();
	const us = { units: 'US customary' } as const;
	const [page] = listOf(1, null).stores;
	const [liquid] = page?.lines ?? [];
	if (!page || !liquid) return expect.fail('a page with a line');
	const solid = { ...liquid, name: 'Solid', unit: 'kg' as const, amount: 10, containers: '1 × 10 kg' };
	const stores = [{ ...page, storedL: 30, bundL: 1000, lines: [{ ...liquid, amount: 20 }, solid] }];
	const list = words(emergencyListHtml({ ...listOf(1, null), stores }, us));
	expect(list).toContain('2 products, about 5 gal and 22 lb; the bund holds 264 gal');
	expect(list).toContain('SC 5.283 gal 4 × 2.64 gal, 2 × 1.32 gal, 1 opened');
	expect(list).toContain('SC 22.046 lb 1 × 22 lb');
	const line = { place: '', name: 'Birch', formulation: 'SC', unit: 'L' as const, sizes: [1, 9.463529], book: 20 };
	const sheet = { farm: '', store: '', madeAt: '2026-11-25T14:01:00+01:00', freezeAt: null, withBook: true };
	expect(words(countSheetHtml({ ...sheet, lines: [line] }, us))).toContain('5.283 gal × 33.8 fl oz × 2.5 gal');
});

function words(html: string): string {
	return html
		.replace(/<style>[\s\S]*?<\/style>/, '')
		.replace(/<[^>]*>/g, ' ')
		.replace(/\s+/g, ' ');
}
