import { expect, type Locator } from 'playwright/test';
import { startApp, test } from './app.ts';

/** Picks from a list the way a person does: type over what stands there, Enter. */
async function pick(scope: Locator, label: string, typed: string): Promise<void> {
	const box = scope.getByRole('combobox', { name: label, exact: true });
	await box.click();
	await box.pressSequentially(typed);
	await box.press('Enter');
}

test('a product is entered: its units follow the formulation, and a limit still being entered is not lost', async ({
	page,
	app,
}) => {
	await app.call('settings.save', { key: 's', farmName: 'Alder Farm', operator: 'A. Marsh' });
	await app.open(page, '/farm/store');
	await page.getByRole('button', { name: 'Put a product on the books' }).click();
	const dialog = page.getByRole('dialog');
	await dialog.getByRole('textbox', { name: 'Name', exact: true }).fill('Fernan');
	await pick(dialog, 'Formulation', 'WG');
	await expect(dialog.getByRole('combobox', { name: 'Sold by' })).toHaveValue('the kilogram (kg)');
	await dialog.getByRole('button', { name: 'Add a substance' }).click();
	await expect(dialog.getByRole('combobox', { name: 'in', exact: true })).toHaveValue('g/kg');
	await dialog.getByRole('button', { name: 'Take off this line' }).click();
	await pick(dialog, 'Formulation', 'SC');
	await expect(dialog.getByRole('combobox', { name: 'Sold by' })).toHaveValue('the litre (L)');
	// Outside North America the letters mean one thing.
	await expect(dialog).not.toContainText('different things');
	await dialog.getByRole('textbox', { name: 'Pack sizes' }).fill('5');
	// One slip loses nothing: Escape goes to the cross, and only there it closes.
	await page.keyboard.press('Escape');
	await expect(dialog.getByRole('button', { name: 'Close' })).toBeFocused();
	await dialog.getByRole('button', { name: 'Add a limit' }).click();
	await pick(dialog, 'Limit', 'Single dose');
	await dialog.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(dialog.getByText('Enter the figure the label gives.')).toBeInViewport();
	await dialog.getByRole('textbox', { name: 'At most' }).fill('1.5');
	await dialog.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(dialog).toBeHidden();
	await expect(page.getByRole('main')).toContainText('Single dose at most 1.5 L/ha');
});

test('a refusal comes into view, however far its form is scrolled', async ({ page, app }) => {
	await app.call('settings.save', { key: 's', farmName: 'Alder Farm', operator: 'A. Marsh' });
	await app.open(page, '/farm/sprayers');
	await page.getByRole('button', { name: 'Put a sprayer on the books' }).click();
	const dialog = page.getByRole('dialog');
	for (const [label, text] of [
		['Name', 'Trailed'],
		['Tank', '3000'],
		['Smallest load', '4000'],
	] as const) {
		await dialog.getByRole('textbox', { name: label, exact: true }).fill(text);
	}
	await dialog.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(dialog.getByText(/The smallest load of .* is above the tank/)).toBeInViewport();
});

test.describe('on a computer in the Midwest', () => {
	test.use({ timezoneId: 'America/Chicago', locale: 'en-US' });

	test('the book starts with the rules of the place, and entries take the units of its labels', async ({ page }) => {
		const app = await startApp();
		try {
			await app.open(page);
			await expect(page.getByText('America/Chicago, records are held against “US 7 CFR 110')).toBeVisible();
			await page.getByLabel('Name of the farm').fill('Prairie Applicators');
			await page.getByRole('button', { name: 'Start the book' }).click();
			await expect(page.getByRole('heading', { name: 'Fields' })).toBeVisible();
			expect(await app.call('settings.get')).toMatchObject({ ruleSet: 'us-7cfr110', zone: 'America/Chicago' });
			// Nothing was entered yet: no season before has anything to look at.
			await page.getByRole('link', { name: 'Records', exact: true }).click();
			await expect(page.getByText('Nothing is recorded in harvest')).toBeVisible();
			await expect(page.getByRole('button', { name: /^Look at harvest/ })).toBeHidden();
			await app.call('fields.add', { name: 'North 80', measuredHa: 32.37485 });
			await app.call('sprayers.add', { name: 'Self-propelled', capacityL: 4542.494, minimumL: 378 });
			const product = { name: 'Grassline', formulation: 'EC', unit: 'L', packSizes: [9.463529] };
			await app.call('products.add', product);
			await app.open(page, '/farm/jobs/new');
			await pick(page.getByRole('main'), 'Field', 'North');
			await expect(page.getByRole('textbox', { name: 'Area to load for, North 80' })).toBeVisible();
			await pick(page.getByRole('main'), 'Product', 'Grass');
			await page.getByRole('textbox', { name: 'Dose of Grassline' }).fill('16');
			await expect(page.getByLabel('Unit of the dose of Grassline')).toHaveValue('fl oz/acre');
			await page.getByRole('textbox', { name: 'Spray volume' }).fill('140.3093 L/ha');
			await expect(page.getByText('= 15 gal/ac')).toBeVisible();
			await page.getByRole('textbox', { name: 'Spray volume' }).fill('15');
			// 80 acres × 15 gallons are 1,200: 4,542 L in one tank of that size.
			await expect(page.getByText('One load of 1,200 gal.')).toBeVisible();
		} finally {
			await app.close();
		}
	});
});
