import { expect, type Page } from 'playwright/test';
import { test } from './app.ts';
import { idOf, layBooks } from './machines-books.ts';

async function choose(page: Page, label: string, option: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).click();
	await page.getByRole('option', { name: option }).click();
}

test.beforeEach(async ({ app }) => layBooks(app));

test('a grain store is put on the books, fogged, logged, recorded and drawn', async ({ app, page }) => {
	const { id: productId } = (await app.call('products.add', {
		name: 'Storefog 10',
		formulation: 'UL',
		unit: 'L',
		packSizes: [5],
		limits: [{ kind: 'singleDose', max: 5, doseUnit: 'mL/m³' }],
	})) as { id: string };
	await app.call('store.receive', { key: 'fog', productId, packSize: 5, packs: 4 });

	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Closed spaces' }).click();
	await page.getByRole('button', { name: 'Add a closed space' }).click();
	await page.getByLabel('Name').fill('Barn 2');
	await page.getByRole('textbox', { name: 'Air space' }).fill('1200');
	await page.getByRole('textbox', { name: 'Surface' }).fill('300');
	await page.getByLabel('Address').fill('Mill Lane 4');
	await page.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(page.getByRole('row', { name: /Barn 2.*Mill Lane 4.*300 1,200/ })).toBeVisible();

	await page.goto(`${app.origin}/#/farm/sprayers`);
	await page.getByRole('button', { name: 'Add' }).click();
	await page.getByRole('radiogroup', { name: 'What it is' }).getByText('Indoor applicator').click();
	await page.getByLabel('Name').fill('Cold fogger');
	await page.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(page.getByRole('heading', { name: 'Cold fogger' })).toBeVisible();

	await page.goto(`${app.origin}/#/farm/jobs/new`);
	await page.getByRole('radiogroup', { name: 'How it is brought out' }).getByText('Closed space').click();
	await choose(page, 'Closed space', 'Barn 2');
	await page.getByRole('combobox', { name: 'Product', exact: true }).focus();
	await page.keyboard.type('Store', { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
	await page.keyboard.type('5');
	await expect(page.getByText('One treatment of 1,200 m³.')).toBeVisible();
	await expect(page.getByRole('combobox', { name: 'Indoor applicator' })).toHaveValue('Cold fogger');
	await expect(page.getByText('label: single dose at most 5 mL/m³')).toBeVisible();
	await page.getByRole('textbox', { name: 'Dose of Storefog 10' }).fill('6');
	await expect(page.getByText('The dose is 6 mL/m³; the label allows 5 mL/m³.')).toBeVisible();
	await page.getByRole('textbox', { name: 'Dose of Storefog 10' }).fill('5');
	await page.getByRole('button', { name: 'Save the job' }).click();

	await expect(page.getByText('Barn 2, empty grain store: 1,200 m³.')).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	const card = page.getByRole('article');
	await expect(card).toContainText('Air space of this treatment1200 m³');
	await expect(card).toContainText('Mill Lane 4');
	await expect(card).toContainText('read the label for how long to keep out and ventilate');
	await page.getByRole('button', { name: 'Log this treatment' }).click();
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log treatment 1' }).click();
	await expect(page.getByRole('row', { name: 'Storefog 10 6.0 L 14.0 L' })).toBeVisible();

	await page.getByRole('link', { name: '1 spray record' }).click();
	await page.getByRole('button', { name: /^Show 1 line/ }).click();
	await page
		.getByRole('row', { name: /Storefog 10/ })
		.last()
		.click();
	await expect(page.getByText('1,200 m³ at 5 mL/m³')).toBeVisible();
	await expect(page.getByText('Barn 2, Mill Lane 4')).toBeVisible();
	expect(await idOf(app, 'spaces.list', 'Barn 2')).not.toBe('');
});
