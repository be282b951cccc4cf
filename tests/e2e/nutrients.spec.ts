import { expect } from 'playwright/test';
import { test } from './app.ts';

type Named = { readonly id: string; readonly name: string; readonly version: number };

test('enters what a fertiliser holds, limits nitrogen on a field, and is warned above it', async ({ app, page }) => {
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	const field = (await app.call('fields.add', { key: 'f', name: 'Mill Piece', measuredHa: 10 })) as Named;
	const season = new Date().getFullYear();
	for (const of of [season, season + 1]) {
		const crop = { season: of, crop: 'Winter wheat', eppoCode: 'TRZAW' };
		await app.call('fields.setCrop', { key: `c ${of}`, id: field.id, ...crop });
	}
	const solution = { name: 'Solution', formulation: 'SL', unit: 'L', packSizes: [1000], relativeDensity: 1.25 };
	const { id } = (await app.call('products.add', { ...solution, key: 'p', kind: 'liquid fertiliser' })) as Named;

	await app.open(page, '/farm/store/products');
	await page.getByText('Solution').first().click();
	await expect(page.getByText('nutrients not entered')).toBeVisible();
	await page.getByRole('button', { name: 'Change' }).click();
	await page.getByRole('button', { name: 'Add a nutrient' }).click();
	await page.getByLabel('Content').fill('28');
	await expect(page.getByText('35.00 kg N in 100 L')).toBeVisible();
	await page.getByRole('button', { name: 'Save the change' }).click();
	await expect(page.getByRole('table', { name: 'Nutrients' })).toContainText('28 % w/w');

	await app.open(page, `/farm/fields/${field.id}`);
	await page.getByRole('button', { name: 'Set a limit' }).click();
	await page.getByRole('button', { name: 'Take it' }).click();
	await page.getByRole('button', { name: 'Set the limit' }).click();
	await expect(page.getByText('0 kg N/ha, at most 220 kg N/ha')).toBeVisible();

	const date = new Date().toISOString().slice(0, 10);
	const asked = { fields: [{ fieldId: field.id }], products: [{ productId: id, dosePerHa: 700 }], date };
	const found = (await app.call('limits.check', asked)) as { readonly kind: string; readonly verdict: string }[];
	expect(found.find(({ kind }) => kind === 'nutrient')).toMatchObject({ verdict: 'warn', value: 245, limit: 220 });

	await page.getByRole('button', { name: 'Take off the limit of 220 kg N/ha' }).click();
	await expect(page.getByText('no limit is set')).toBeVisible();
});
