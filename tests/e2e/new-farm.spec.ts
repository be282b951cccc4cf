import { expect, type Locator } from 'playwright/test';
import { test } from './app.ts';

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
