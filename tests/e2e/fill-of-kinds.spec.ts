import AxeBuilder from '@axe-core/playwright';
import { expect } from 'playwright/test';
import { test } from './app.ts';
import { idOf, layBooks } from './machines-books.ts';

test.beforeEach(async ({ app }) => layBooks(app));

test('a hopper is filled in the yard, bag by bag, with an undo and an incident', async ({ app, page }) => {
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'pellets',
		kind: 'granules',
		sprayerId: await idOf(app, 'sprayers.list', 'Spreader'),
		fields: [{ fieldId: await idOf(app, 'fields.list', 'Long Piece') }],
		products: [{ productId: await idOf(app, 'products.list', 'Millrind pellets'), dosePerHa: 5 }],
		date: '2026-09-20',
	})) as { id: string };
	await app.open(page, `/farm/jobs/${jobId}/1`);
	await page.getByRole('button', { name: 'Fill in the yard' }).click();
	await expect(page.getByRole('heading', { name: 'Fill 1 of 3' })).toBeVisible();
	await expect(page.getByText('Bag 1 of 3')).toBeVisible();
	await page.getByRole('button', { name: 'Begin' }).click();
	await expect(page.getByRole('timer')).toBeVisible();
	await page.keyboard.press('Space');
	await page.keyboard.press('Space');
	await expect(page.getByText('Bag 3 of 3')).toBeVisible();
	await expect(page.getByRole('img', { name: '40 of 60 kg Millrind pellets are in' })).toBeVisible();
	await page.getByRole('button', { name: 'Undo: bag 2 done' }).click();
	await expect(page.getByText('Bag 2 of 3')).toBeVisible();
	await page.reload();
	await expect(page.getByText('Bag 2 of 3')).toBeVisible();
	await page.getByRole('button', { name: 'Log an incident' }).click();
	await page.getByRole('button', { name: 'spill', exact: true }).click();
	await page.getByRole('button', { name: 'Leave it at that' }).click();
	for (const colorScheme of ['light', 'dark'] as const) {
		await page.emulateMedia({ colorScheme });
		expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	}
	await page.getByRole('button', { name: /^Bag is in/ }).click();
	await page.getByRole('button', { name: /^Bag is in/ }).click();
	await expect(page.getByText('All 3 are in')).toBeVisible();
	await page.getByRole('button', { name: 'Log the fill' }).click();
	await expect(page.getByText('Fill 1 is ready and the fill is logged')).toBeVisible();
	await expect(page.getByText(/^\d\d:\d\d spill/)).toBeVisible();
	await page.getByRole('button', { name: 'Spread: log' }).click();
	await expect(page.getByRole('heading', { name: 'Log fill 1 of 3' })).toBeVisible();
});

test('an incident entered later asks what its job can lose; without a job, out of which store', async ({
	app,
	page,
}) => {
	const pellets = await idOf(app, 'products.list', 'Millrind pellets');
	await app.call('jobs.add', {
		key: 'spread',
		name: 'Slugs',
		kind: 'granules',
		sprayerId: await idOf(app, 'sprayers.list', 'Spreader'),
		fields: [{ fieldId: await idOf(app, 'fields.list', 'Long Piece') }],
		products: [{ productId: pellets, dosePerHa: 5 }],
		date: '2026-09-21',
	});
	const { storeId } = (await app.call('store.addStore', { key: 'barn', name: 'North barn' })) as { storeId: string };
	await app.call('store.receive', { key: 'in barn', storeId, productId: pellets, packSize: 20, packs: 2 });
	const choose = async (label: string, option: string | RegExp) => {
		await page.getByRole('combobox', { name: label, exact: true }).click();
		await page.getByRole('option', { name: option }).click();
	};
	await app.open(page, '/farm/records/incidents');
	await page.getByRole('button', { name: 'Enter an incident' }).click();
	await choose('Job', /^Slugs/);
	await expect(page.getByLabel('Mix or water lost')).toHaveCount(0);
	await page.getByRole('combobox', { name: 'What happened' }).click();
	await expect(page.getByRole('option')).toHaveText(['spill', 'leak']);
	await page.keyboard.press('Escape');
	await page.getByRole('combobox', { name: 'Product lost, undiluted' }).click();
	await expect(page.getByRole('option')).toHaveText(['Millrind pellets']);
	await page.getByRole('button', { name: 'Leave it' }).click();

	await page.getByRole('button', { name: 'Enter an incident' }).click();
	await choose('What happened', 'spill');
	await page.getByLabel('At', { exact: true }).fill('0640');
	await choose('Product lost, undiluted', 'Millrind pellets');
	await page.getByLabel('How much of it').fill('1.5');
	await choose('Out of', 'North barn');
	await page.getByRole('button', { name: 'Log it' }).click();
	await expect(page.getByText('1.5 kg of Millrind pellets are posted to North barn as a spill.')).toBeVisible();
	const held = (await app.call('store.onHand', { storeId })) as { productId: string; amount: number }[];
	expect(held.find(({ productId }) => productId === pellets)?.amount).toBe(38.5);

	// From a running fill its job's store stands there, and another can be said.
	const { id: slugs } = ((await app.call('jobs.list')) as { id: string; name: string }[]).find(
		({ name }) => name === 'Slugs',
	) as { id: string };
	await page.goto(`${app.origin}/#/farm/jobs/${slugs}/fill/1`);
	await page.getByRole('button', { name: 'Begin' }).click();
	await page.getByRole('button', { name: 'Log an incident' }).click();
	await page.getByRole('button', { name: 'spill', exact: true }).click();
	await choose('Product lost, undiluted', 'Millrind pellets');
	await expect(page.getByRole('combobox', { name: 'Out of' })).toHaveValue('Main store');
	await page.getByLabel('How much of it').fill('0.5');
	await choose('Out of', 'North barn');
	await page.getByRole('button', { name: 'Add this' }).click();
	await expect(page.getByText('0.5 kg of Millrind pellets are posted to North barn as a spill.')).toBeVisible();
});
