import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from 'playwright/test';
import { type App, test } from './app.ts';

/** A farm with two fields of one crop, two products and a sprayer; 60 ha at 100 L/ha are two loads of 3,000 L. */
async function layBooks(app: App): Promise<void> {
	if (((await app.call('sprayers.list')) as unknown[]).length > 0) return;
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const season = new Date().getFullYear() + (new Date().getMonth() >= 7 ? 1 : 0);
	for (const [name, measuredHa] of [
		['Long Piece', 40],
		['Mill Bank', 20],
	] as const) {
		const { id } = (await app.call('fields.add', { name, measuredHa, mappedHa: measuredHa })) as { id: string };
		await app.call('fields.setCrop', { key: `crop ${name}`, id, season, crop: 'Winter wheat' });
	}
	for (const [name, formulation] of [
		['Suspension', 'SC'],
		['Solution', 'SL'],
	]) {
		const { id } = (await app.call('products.add', { name, formulation, unit: 'L', packSizes: [5] })) as { id: string };
		await app.call('store.receive', {
			key: `in ${name}`,
			productId: id,
			packSize: 5,
			packs: name === 'Solution' ? 30 : 12,
		});
	}
	await app.call('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300 });
}

async function add(page: Page, label: string, typed: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).focus();
	await page.keyboard.type(typed, { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
}

/** Plans 60 ha with 1 L/ha of each product, by keyboard, and saves it. */
async function planJob(page: Page): Promise<void> {
	await page.getByRole('button', { name: /^All Winter wheat/ }).press('Enter');
	await add(page, 'Product', 'Susp');
	await page.keyboard.type('1');
	await add(page, 'Another product', 'Solu');
	await page.keyboard.type('1');
	await page.getByRole('textbox', { name: 'Spray volume' }).fill('100');
	await expect(page.getByText('2 loads of 3,000 L each.')).toBeVisible();
	await page.keyboard.press('Enter');
	await expect(page.getByRole('button', { name: 'Print the card' })).toBeFocused();
}

test.beforeEach(async ({ app }) => layBooks(app));

test('a job is planned, its load logged in three keystrokes, and the store drawn down', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await planJob(page);
	await expect(page.getByRole('row', { name: /^1 30\.00 3,000 L/ })).toBeVisible();
	await expect(page.getByText('Load 1 ends 30.00 ha into Long Piece')).toBeVisible();
	await page.getByRole('button', { name: 'Log this load' }).focus();

	await page.keyboard.press('Enter');
	await expect(page.getByLabel('Began')).toBeFocused();
	await page.keyboard.press('Enter');
	await expect(page.getByRole('button', { name: 'Log load 1' })).toBeFocused();
	await page.keyboard.press('Enter');

	await expect(page.getByRole('heading', { name: 'Load 1 is logged' })).toBeVisible();
	await expect(page.getByRole('row', { name: 'Suspension 30.0 L 30.0 L' })).toBeVisible();
	await expect(page.getByRole('row', { name: 'Solution 30.0 L 120.0 L' })).toBeVisible();
	await expect(page.getByRole('button', { name: 'On to load 2' })).toBeFocused();
});

test('a load is broken off, gone on with, taken back, and logged beyond the book', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await planJob(page);
	await page.getByRole('button', { name: 'Log this load' }).click();
	await page.getByLabel(/broken off/).check();
	await page.getByLabel('Why').fill('rain');
	await page.getByLabel('Why').press('Enter');
	await expect(page.getByRole('alert')).toContainText('all its ground is entered as covered');
	await page.getByLabel('Long Piece').fill('12');
	await page.getByLabel('Temperature').fill('20');
	await page.getByLabel('Humidity').fill('50');
	await expect(page.getByText('within the guideline of 2 to 8')).toBeVisible();
	await page.keyboard.press('Enter');
	await page.keyboard.press('Enter');
	await page.getByRole('button', { name: 'To the job' }).click();

	await expect(page.getByText('broken off').first()).toBeVisible();
	await page.getByRole('button', { name: 'Go on with load 1' }).click();
	await expect(page.getByLabel('Long Piece')).toHaveValue('18');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('button', { name: 'Log load 1' })).toBeFocused();
	await page.keyboard.press('Enter');
	await page.getByRole('button', { name: 'On to load 2' }).click();

	await page.getByRole('button', { name: 'Take back load 1' }).click();
	await page.getByLabel('Why').fill('wrong job');
	await page.keyboard.press('Enter');
	await expect(page.getByText(/Load 1 is taken back\. Back in the store: 30\.0 L Suspension/)).toBeVisible();

	await page.getByRole('button', { name: 'Log this load' }).click();
	await page.getByLabel(/Actual amounts/).check();
	await page.getByRole('textbox', { name: 'Suspension' }).fill('75');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('button', { name: 'Log load 2' })).toBeFocused();
	await page.keyboard.press('Enter');
	await expect(page.getByRole('alert')).toContainText('log it as short');
	await expect(page.getByRole('button', { name: 'Log it as short' })).toBeFocused();
	await page.keyboard.press('Escape');
	await expect(page.getByRole('dialog')).toHaveCount(0);
	await page.getByRole('textbox', { name: 'Suspension' }).press('Enter');
	await expect(page.getByRole('dialog')).toBeVisible();
	await page.keyboard.press('Enter');
	await page.getByRole('button', { name: 'Log it as short' }).press('Enter');
	await expect(page.getByText('Below zero the book is wrong, not the tank')).toBeVisible();
});

test('a job is closed with what the sprayer says', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await planJob(page);
	const [, jobId = ''] = /jobs\/([^/]+)$/.exec(page.url()) ?? [];
	for (const load of [1, 2]) {
		const times = { startedAt: '2026-04-15T07:00', finishedAt: '2026-04-15T08:00' };
		await app.call('jobs.logLoad', {
			key: `${jobId} ${load}`,
			jobId,
			load,
			...times,
			operator: 'A. Marsh',
			allowShort: true,
		});
	}
	await page.reload();
	await expect(page.getByRole('button', { name: 'Close the job' })).toBeFocused();
	await page.keyboard.press('Enter');
	await expect(page.getByLabel('Sprayed area')).toBeFocused();
	await page.keyboard.type('60.4');
	await page.getByLabel('Litres sprayed').fill('5980');
	await page.getByText('Ran out').click();
	await page.getByLabel('Still to go').fill('0.2');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('region', { name: 'Ground, tank and store' })).toContainText('60.40 ha');
});

test('a card is found by its code, shown and printed', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await planJob(page);
	await page.getByRole('button', { name: 'Card on screen' }).click();
	const card = page.getByRole('article', { name: /^Load card/ });
	const [code = ''] = /[A-Z0-9]{5}-1/.exec((await card.getAttribute('aria-label')) ?? '') ?? [];
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Print the card' }).click();
	expect((await download).suggestedFilename()).toMatch(/load 1\.pdf$/);

	await page.getByRole('link', { name: 'Jobs' }).first().click();
	await expect(page.getByLabel('Code on the load card')).toBeFocused();
	await page.keyboard.type('nonsense');
	await page.keyboard.press('Enter');
	await expect(page.getByRole('alert')).toContainText('No load card carries the code nonsense');
	await page.getByLabel('Code on the load card').fill(code.toLowerCase());
	await page.keyboard.press('Enter');
	await expect(page.getByRole('heading', { name: 'Log load 1 of 2' })).toBeVisible();
});

test('the pages of a job have no fault an accessibility checker can name', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await planJob(page);
	const job = new URL(page.url()).hash.slice(1);
	for (const address of ['/farm/jobs', '/farm/jobs/new', job, `${job}/1/card`, `${job}/1/log`]) {
		await page.goto(`${app.origin}/#${address}`);
		await expect(page.getByRole('heading').first()).toBeVisible();
		await expect(page.getByText('Reading the book')).toHaveCount(0);
		const { violations } = await new AxeBuilder({ page }).analyze();
		expect({ address, violations: violations.map(({ id }) => id) }).toEqual({ address, violations: [] });
	}
});
