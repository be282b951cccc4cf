import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findBrowser, findOnPath } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { paperProgram } from '../../../../electron/paper/render.ts';
import { scratchFolder } from '../scratch.ts';
import { reportOf } from './sample-report.ts';

const reader = findOnPath('pdftotext');
const canRead = findBrowser() !== null && reader !== null;

test.skipIf(!canRead)('heads and proof stand on every page (skipped without a browser and pdftotext)', async () => {
	const rows = Array.from({ length: 150 }, (_, index) => ({ name: `row ${index}`, figure: index, on: '2027-04-15' }));
	const farm = `"; } </style><script>document.body.textContent = ''</script> \\ Łąka`;
	const { reportHtml } = await paperProgram();
	const pdf = await createBrowserPrinter().pdf(reportHtml({ ...reportOf(rows), farm }));
	if (!pdf.ok) return expect.fail(pdf.problem.code);
	const file = join(scratchFolder(), 'report.pdf');
	writeFileSync(file, pdf.value);
	const text = execFileSync(reader ?? '', ['-layout', file, '-'], { encoding: 'utf8' });
	const pages = text
		.replace(/[^\S\f]+/g, '')
		.split('\f')
		.slice(0, -1);
	expect(pages.length).toBeGreaterThan(2);
	for (const [index, page] of pages.entries()) {
		expect(page).toContain('treatedha');
		expect(page).toContain(`page${index + 1}of${pages.length}`);
		expect(page).toContain('records412·1a2b3c4d5e6f7081');
		expect(page).toContain(`Spraydiary·${farm}`.replace(/\s+/g, ''));
	}
	for (const { name } of rows) expect(text).toContain(name);
});
