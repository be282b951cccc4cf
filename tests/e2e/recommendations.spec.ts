import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from 'playwright/test';
import { type App, test } from './app.ts';

async function layBooks(app: App): Promise<void> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const season = new Date().getFullYear() + (new Date().getMonth() >= 7 ? 1 : 0);
	for (const name of ['Long Piece', 'Mill Bank']) {
		const { id } = (await app.call('fields.add', { name, measuredHa: 10, mappedHa: 10 })) as { id: string };
		await app.call('fields.setCrop', { key: `crop ${name}`, id, season, crop: 'Winter wheat' });
	}
	const { id: productId } = (await app.call('products.add', {
		name: 'Suspension',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
	})) as { id: string };
	await app.call('store.receive', { key: 'in', productId, packSize: 5, packs: 12 });
	await app.call('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300 });
}

async function add(page: Page, label: string, typed: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).focus();
	await page.keyboard.type(typed, { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
}

test('a recommendation is entered by keyboard, a plan starts from it and says where it departs, and the record keeps it', async ({
	app,
	page,
}) => {
	await layBooks(app);
	const inAWeek = new Date(Date.now() + 7 * 86_400_000).toISOString().slice(0, 10);
	await app.open(page, '/farm/jobs');
	await page.getByRole('button', { name: 'Recommendations' }).press('Enter');
	await page.getByRole('button', { name: 'Enter a recommendation' }).press('Enter');
	await test.step('one screen, from the adviser to the note', async () => {
		await expect(page.getByLabel('Adviser')).toBeFocused();
		await page.keyboard.type('C. Reed');
		await page.keyboard.press('Tab');
		await page.keyboard.type('ADV-118');
		await page.keyboard.press('Enter');
		await expect(page.getByLabel('Holds until')).toBeFocused();
		await page.getByLabel('Holds until').fill(inAWeek);
		await page.getByLabel('Holds until').press('Enter');
		await expect(page.getByRole('alert')).toContainText('Still to enter: the products and the fields or the crop.');
		await add(page, 'Field', 'Long');
		await add(page, 'Product', 'Susp');
		await expect(page.getByRole('textbox', { name: 'Dose of Suspension' })).toBeFocused();
		await page.keyboard.type('1.2');
		await page.getByLabel('Spray volume').fill('100');
		await page.getByLabel('Reason').fill('septoria');
		await page.getByLabel('Reason').press('Enter');
		await expect(page.getByRole('row', { name: /C\. Reed.*Suspension 1\.2 L\/ha in 100 L\/ha/ })).toBeVisible();
	});
	await page.getByRole('button', { name: 'Plan from it' }).press('Enter');
	const against = page.getByRole('region', { name: 'Against the recommendation' });
	await test.step('the plan starts with it, and each departure is said', async () => {
		await expect(page.getByText('From the recommendation of C. Reed, ADV-118')).toBeVisible();
		await expect(page.getByRole('textbox', { name: 'Dose of Suspension' })).toHaveValue('1.2');
		await expect(against).toContainText('It is followed');
		await page.getByRole('textbox', { name: 'Dose of Suspension' }).fill('1.5');
		await add(page, 'Another field', 'Mill');
		await expect(against).toContainText('Suspension: 1.5 L/ha instead of 1.2 (+25 %).');
		await expect(against).toContainText('Mill Bank is not in it.');
	});
	await page.getByRole('button', { name: 'Save the job' }).click();
	await test.step('the job and its record keep it', async () => {
		await expect(page.getByText('On the recommendation of C. Reed, ADV-118')).toBeVisible();
		await expect(against).toContainText('Mill Bank is not in it.');
		const jobId = /jobs\/([^/]+)/.exec(page.url())?.[1] ?? '';
		const log = { jobId, load: 1, startedAt: '2030-01-02T07:00', finishedAt: '2030-01-02T08:00', operator: 'A. Marsh' };
		const { recordIds } = (await app.call('jobs.logLoad', { key: 'log', ...log })) as { recordIds: string[] };
		await page.goto(`${app.origin}/#/farm/records/${recordIds[0]}`);
		await expect(against).toContainText('Suspension: 1.5 L/ha instead of 1.2 (+25 %).');
		await expect(against).toContainText('Load 1 was sprayed on 2 Jan 2030, when it no longer held.');
	});
	await test.step('it is withdrawn, and stays to be read', async () => {
		await page.goto(`${app.origin}/#/farm/jobs/recommendations`);
		await page.getByRole('button', { name: 'Withdraw' }).press('Enter');
		await page.getByLabel('Why').fill('wrong field');
		await page.getByLabel('Why').press('Enter');
		await expect(page.getByRole('row', { name: /withdrawn wrong field; A\. Marsh/ })).toBeVisible();
		await expect(page.getByRole('button', { name: 'Plan from it' })).toHaveCount(0);
	});
	for (const colorScheme of ['light', 'dark'] as const) {
		await page.emulateMedia({ colorScheme });
		for (const address of ['/farm/jobs/recommendations', '/farm/jobs/recommendations/new']) {
			await page.goto(`${app.origin}/#${address}`);
			await expect(page.getByRole('heading').first()).toBeVisible();
			expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
		}
	}
});
