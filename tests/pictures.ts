/** Makes README's pictures from the running program on the demonstration farm: `npm run pictures`. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright';
import { findBrowser, findOnPath, sandboxFlags } from '../electron/host/browser.ts';
import { startApp } from './e2e/app.ts';

const pictures = join(import.meta.dirname, 'pictures');
const size = { width: 1366, height: 768 };

type JobRow = { readonly id: string; readonly name: string; readonly state: string };

mkdirSync(pictures, { recursive: true });
const scratch = mkdtempSync(join(tmpdir(), 'fillmark-pictures-'));
const app = await startApp();
const executablePath = findBrowser();
const browser = await chromium.launch({ ...(executablePath ? { executablePath } : {}), args: sandboxFlags() });
try {
	await app.call('upkeep.buildDemo', {}, 'demo');
	const jobs = (await app.call('jobs.list', {}, 'demo')) as JobRow[];
	const planned = jobs.find(({ state }) => state === 'planned') ?? jobs[0];
	const shown = jobs.find(({ name }) => name === 'Wheat, growth regulator') ?? planned;
	if (!planned || !shown) throw new Error('the demonstration farm has no jobs');
	const page = await browser.newPage({ viewport: size, locale: 'en-GB', colorScheme: 'light' });
	const take = async (name: string, route: string, prepare: () => Promise<void> = async () => {}) => {
		await app.open(page, `/demo/${route}`);
		await page.getByRole('heading', { level: 1 }).first().waitFor();
		await prepare();
		await page.waitForTimeout(1500);
		await page.screenshot({ path: join(pictures, `${name}.png`) });
		console.log(`${name}.png`);
	};
	await take('fields', 'fields');
	await take('store', 'store');
	await take('job', `jobs/${planned.id}`);
	await take('records', 'records');
	// The season before this one has two stock takes, and differences to explain.
	await take('season', 'season', async () => {
		const period = page.getByRole('combobox', { name: 'Period' });
		await period.click();
		const said = /\d{4}/.exec(await period.inputValue())?.[0];
		await page
			.getByRole('option', { name: new RegExp(String(Number(said) - 1)) })
			.first()
			.click();
	});
	const card = join(scratch, 'card.pdf');
	await app.call('jobs.printCard', { jobId: shown.id, load: 2, path: card }, 'demo');
	pictureOf(card, 'card');
} finally {
	await browser.close();
	await app.close();
	rmSync(scratch, { recursive: true, force: true });
}

/** First page of a PDF as a picture, where `pdftoppm` is there. */
function pictureOf(pdf: string, name: string): void {
	const tool = findOnPath('pdftoppm');
	if (!tool) {
		console.error(`${name}.png was not made: pdftoppm (poppler-utils) is not on this computer`);
		return;
	}
	execFileSync(tool, ['-png', '-r', '90', '-f', '1', '-singlefile', pdf, join(pictures, name)]);
	console.log(`${name}.png`);
}
