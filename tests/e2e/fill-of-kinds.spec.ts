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
