import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { findBrowser, findOnPath } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { pdfPages } from '../../../../electron/paper/pdf-pages.ts';
import { paperProgram } from '../../../../electron/paper/render.ts';
import type { LoadCard } from '../../../../shared/contract/jobs-card.ts';
import type { DisplayUnits } from '../../../../shared/core/display/display-units.ts';
import { scratchFolder } from '../scratch.ts';
import { sampleCard, spacesCard } from './sample-card.ts';

const browser = findBrowser();
const reader = findOnPath('pdftotext');

/** Prints cards and reads the pages back. */
async function printed(cards: readonly LoadCard[], paper: 'A4' | 'A5', units: DisplayUnits = 'metric') {
	const { loadCardsHtml } = await paperProgram();
	const pdf = await createBrowserPrinter().pdf(loadCardsHtml(cards, { paper, units }));
	if (!pdf.ok) throw new Error(pdf.problem.code);
	if (!reader) return { pages: pdfPages(pdf.value), text: null };
	const file = join(scratchFolder(), 'card.pdf');
	writeFileSync(file, pdf.value);
	const text = execFileSync(reader, ['-layout', file, '-'], { encoding: 'utf8' });
	expect(pdfPages(pdf.value)).toBe(text.split('\f').length - 1);
	return { pages: pdfPages(pdf.value), text };
}

/** The reader of the pages guesses at spaces, so they are left out. */
const bare = (text: string | null) => (text ?? '').replace(/\s+/g, '');

describe.skipIf(browser === null)('the load card on paper (skipped where no browser is installed)', () => {
	const sizes = [1, 2, 3, 4, 5, 6, 7, 8].flatMap((products) =>
		[1, 2, 3, 4, 5, 6].map((fields) => ({ products, fields })),
	);

	test.each(['A4', 'A5'] as const)('%s: one page for 1 to 8 products on 1 to 6 fields', async (paper) => {
		const cards = sizes.map(({ products, fields }) =>
			sampleCard({ products, fields, pause: (products + fields) % 2 === 0 }),
		);
		expect((await printed(cards, paper)).pages).toBe(cards.length);
	});

	test.each(['A4', 'A5'] as const)('%s: one page in US customary units too', async (paper) => {
		const cards = sizes
			.filter((_, index) => index % 5 === 0)
			.map(({ products, fields }) => sampleCard({ products, fields, pause: products % 2 === 0 }));
		const all = [...cards, spacesCard(5), spacesCard(24)];
		expect((await printed(all, paper, 'US customary')).pages).toBe(all.length);
	});

	test.each(['A4', 'A5'] as const)('%s: one page for 1 to 24 closed spaces, with long names too', async (paper) => {
		const long = (usual: string) => `${usual} behind the workshop, north side`;
		const cards = [1, 2, 4, 5, 9, 16, 24].flatMap((many) => [spacesCard(many), spacesCard(many, long)]);
		const { pages, text } = await printed(cards, paper);
		expect(pages).toBe(cards.length);
		if (text !== null) expect(bare(text)).toContain(bare('fill 3 ends 20 m² in; done with 4 L of fill 4 left'));
	});

	test.each([
		{ paper: 'A4', letters: 200 },
		{ paper: 'A5', letters: 100 },
	] as const)(
		'$paper: names of $letters characters, with and without spaces, keep their page',
		async ({ paper, letters }) => {
			const spaced = (usual: string) => `${usual} `.repeat(60).slice(0, letters);
			const solid = (usual: string) => usual.replaceAll(' ', '').repeat(60).slice(0, letters);
			const cards = [spaced, solid].flatMap((name) => [
				sampleCard({ products: 8, fields: 6, name }),
				sampleCard({ products: 1, fields: 1, name }),
			]);
			expect((await printed(cards, paper)).pages).toBe(cards.length);
		},
	);

	test('label texts too long for the page stand overleaf in full', async () => {
		const text = `${'Rinse the containers three times and keep the washings in the tank. '.repeat(55)}END OF TEXT`;
		const { pages, text: read } = await printed([sampleCard({ products: 3, text })], 'A4');
		expect(pages).toBeGreaterThan(1);
		if (read !== null) {
			expect(bare(read)).toContain(bare('Protective equipment and label cautions: overleaf.'));
			expect(bare(read).match(/ENDOFTEXT/g)?.length).toBe(6);
		}
	});

	test.skipIf(reader === null)('the text comes back as it was (skipped without pdftotext)', async () => {
		const { text } = await printed([sampleCard({ products: 6, fields: 3 })], 'A4');
		const read = bare(text);
		for (const part of [
			'Load 2 of 5',
			'K4TAN-2',
			'Łódź Road, north side',
			'wind ≤ 12 km/h',
			'M. Sørensen',
			'3 × 5 L',
			'measure 1.25 L',
			'empty the opened 2.4 L',
			'buffer 6 m',
			'The label comes first. This card informs; it does not replace the label.',
			'hopper about a third full of water',
			'1 limit not on the books',
		]) {
			expect(read).toContain(bare(part));
		}
	});

	test.skipIf(reader === null)(
		'names that are markup or formulas are printed as they are (skipped without pdftotext)',
		async () => {
			const names = [
				'<script>document.body.textContent="gone"</script>',
				'=1+1',
				'</style><b>bold',
				'&lt;b&gt;',
				'{{7*7}}',
			];
			let next = 0;
			const { text, pages } = await printed(
				[sampleCard({ products: 4, fields: 1, name: () => names[next++ % names.length] ?? '' })],
				'A4',
			);
			expect(pages).toBe(1);
			for (const name of names) expect(bare(text)).toContain(bare(name));
		},
	);
});
