import AxeBuilder from '@axe-core/playwright';
import { expect } from 'playwright/test';
import { type App, test } from './app.ts';

/** Wheat and beet; a wheat weed killer was sprayed today, and a job on the beet comes next. */
async function layBooks(app: App): Promise<void> {
	if (((await app.call('sprayers.list')) as unknown[]).length > 0) return;
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const season = new Date().getFullYear() + (new Date().getMonth() >= 7 ? 1 : 0);
	const field = async (name: string, crop: string, eppoCode: string) => {
		const fieldId = await id('fields.add', { name, measuredHa: 10, mappedHa: 10 });
		await app.call('fields.setCrop', { key: name, id: fieldId, season, crop, eppoCode });
		return fieldId;
	};
	const wheat = await field('Long Piece', 'Winter wheat', 'TRZAW');
	const beet = await field('Rookery', 'Sugar beet', 'BEAVA');
	const killer = await id('products.add', {
		name: 'Weed killer',
		formulation: 'WG',
		unit: 'kg',
		packSizes: [1],
		actives: [{ substance: 'mesosulfuron-methyl', content: 30, contentUnit: 'g/kg', modeOfAction: 'HRAC 2' }],
		limits: [{ kind: 'crop', crops: ['TRZAW'] }],
	});
	const flow = await id('products.add', { name: 'Flow', formulation: 'SC', unit: 'L', packSizes: [5] });
	await app.call('store.receive', { key: 'k', productId: killer, packSize: 1, packs: 10 });
	await app.call('store.receive', { key: 'f', productId: flow, packSize: 5, packs: 10 });
	const sprayerId = await id('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300, unsprayableL: 20 });
	const job = { sprayerId, sprayVolumeLPerHa: 200 };
	const lastId = await id('jobs.add', {
		key: 'last',
		name: 'Wheat, grass weeds',
		...job,
		fields: [{ fieldId: wheat }],
		products: [{ productId: killer, dosePerHa: 0.3 }],
		overrideWhy: 'as the label allows',
	});
	const startedAt = new Date(Date.now() - 7_200_000).toISOString();
	const finishedAt = new Date(Date.now() - 3_600_000).toISOString();
	await app.call('jobs.logLoad', { key: 'log', jobId: lastId, load: 1, startedAt, finishedAt, operator: 'A. Marsh' });
	await id('jobs.add', {
		key: 'next',
		name: 'Beet, mildew',
		...job,
		fields: [{ fieldId: beet }],
		products: [{ productId: flow, dosePerHa: 1 }],
	});
}

test.beforeEach(async ({ app }) => layBooks(app));

test('a tank that was not rinsed out is named before the next crop, and the rinsing out is logged', async ({
	app,
	page,
}) => {
	const jobs = (await app.call('jobs.list')) as { id: string; name: string }[];
	const nextId = jobs.find(({ name }) => name === 'Beet, mildew')?.id;
	const warning = /The tank was not rinsed out after Wheat, grass weeds/;
	await app.open(page, `/farm/jobs/${nextId}`);
	await expect(page.getByText(warning)).toBeVisible();
	await expect(page.getByText('Weed killer is not for Sugar beet by its label')).toBeVisible();
	await page.goto(`${app.origin}/#/farm/jobs/${nextId}/fill/1`);
	await expect(page.getByText(warning)).toBeVisible();
	await page.getByRole('link', { name: 'Log that it was rinsed out' }).click();

	await page.getByRole('button', { name: 'Log that it was rinsed out' }).press('Enter');
	const form = page.getByRole('dialog');
	await form.getByLabel('Wanted, weaker by').fill('20000');
	// (20 + 100) ÷ 20 = 6 times weaker with each rinse: 6³ = 216, and 6⁶ = 46,656 is the first above 20,000.
	await expect(form.getByText('216 times weaker')).toBeVisible();
	await expect(form.getByText('For 20,000 times it takes 6 rinses of 100 L')).toBeVisible();
	await form.getByLabel('Rinses').fill('6');
	await form.getByLabel('Where the washings went').fill('Long Piece');
	await form.getByLabel('Where the washings went').press('Enter');
	await expect(page.getByText('46,656 times weaker; washings: Long Piece')).toBeVisible();
	await expect(page.getByText('after Weed killer')).toBeVisible();
	await page.goto(`${app.origin}/#/farm/jobs/${nextId}`);
	await expect(page.getByText('Rinsed out since, 46,656 times weaker')).toBeVisible();
	await expect(page.getByText(warning)).toHaveCount(0);
});

test('an incident outside of a fill is entered, leaves the store as a spill, is listed and handed over', async ({
	app,
	page,
}) => {
	await app.open(page, '/farm/records');
	await page.getByRole('link', { name: 'Incidents' }).click();
	await expect(page.getByText('Whom to tell')).toBeVisible();
	await page.getByRole('button', { name: 'Enter an incident' }).press('Enter');
	await page.keyboard.type('spill');
	await page.keyboard.press('Enter');
	await page.getByLabel('At', { exact: true }).fill('0640');
	await page.getByRole('combobox', { name: 'Product lost, undiluted' }).focus();
	await page.keyboard.type('Flow');
	await page.keyboard.press('Enter');
	await page.getByLabel('How much of it').fill('0.75');
	await page.getByLabel('Where it went').fill('store floor, inside the bund');
	await page.getByLabel('Where it went').press('Enter');
	await expect(page.getByText('0.75 L of Flow are posted to the store as a spill.')).toBeVisible();
	await page.keyboard.press('Enter');
	const line = page.getByRole('row', { name: /spill.*0\.75 L Flow.*store floor.*not said.*not said/ });
	await expect(line).toBeVisible();
	const movements = (await app.call('store.movements')) as { kind: string; amount: number }[];
	expect(movements.filter(({ kind }) => kind === 'spill').map(({ amount }) => amount)).toEqual([-0.75]);

	await line.press('Enter');
	await page.getByLabel('What was done').fill('soaked up, into the drum');
	await page.getByLabel('Who was told').fill('J. Wren');
	await page.getByLabel('Who was told').press('Enter');
	await page.getByRole('button', { name: 'Back to the list' }).click();
	await expect(page.getByRole('row', { name: /spill.*soaked up, into the drum.*J\. Wren/ })).toBeVisible();
	for (const colorScheme of ['light', 'dark'] as const) {
		await page.emulateMedia({ colorScheme });
		expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	}
	await page.getByRole('link', { name: 'Print or hand over' }).click();
	await expect(page.getByRole('cell', { name: 'soaked up, into the drum' })).toBeVisible();
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'CSV' }).click();
	expect((await download).suggestedFilename()).toMatch(/^Incident log.*\.csv$/);

	await page.goBack();
	await page.getByRole('row', { name: /spill.*soaked up, into the drum/ }).press('Enter');
	await page.getByRole('button', { name: 'Withdraw it' }).click();
	await expect(page.getByText('The 0.75 L of Flow come back to the shelf.')).toBeVisible();
	await page.getByLabel('Why').fill('it was the other farm');
	await page.getByRole('button', { name: 'Withdraw it' }).click();
	await expect(page.getByText('withdrawn: it was the other farm')).toBeVisible();
	const after = (await app.call('store.movements')) as { kind: string; amount: number }[];
	expect(after.filter(({ kind }) => kind === 'reversal').map(({ amount }) => amount)).toEqual([0.75]);
});
