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

test('several closed spaces are planned, filled, logged with their own times and recorded as one job', async ({
	app,
	page,
}) => {
	const { id: productId } = (await app.call('products.add', {
		name: 'Binspray 25',
		formulation: 'EC',
		unit: 'L',
		packSizes: [1],
	})) as { id: string };
	await app.call('store.receive', { key: 'spray', productId, packSize: 1, packs: 4 });
	for (const [name, floorM2] of [
		['Bin 1', 600],
		['Bin 2', 60],
		['Bin 3', 340],
	]) {
		await app.call('spaces.add', { key: `bin ${name}`, name, kind: 'silo or bin', floorM2 });
	}
	await app.call('sprayers.add', { key: 'hand', name: 'Hand sprayer', kind: 'indoor applicator', capacityL: 15 });

	await app.open(page, '/farm/jobs/new');
	await page.getByRole('radiogroup', { name: 'How it is brought out' }).getByText('Closed space').click();
	await page.getByRole('radiogroup', { name: 'The dose is for' }).getByText('surface, m²').click();
	await page.getByRole('button', { name: 'All of kind silo or bin: 3' }).click();
	await page.getByRole('textbox', { name: 'Mix in all' }).fill('50');
	await page.getByRole('combobox', { name: 'Product', exact: true }).focus();
	await page.keyboard.type('Bin', { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
	await page.keyboard.type('1');
	await choose(page, 'Indoor applicator', 'Hand sprayer');
	await expect(page.getByText('One treatment of 1,000 m² in 3 closed spaces.')).toBeVisible();
	const turn = page.getByRole('table', { name: 'Closed spaces in their order' });
	await expect(turn.getByRole('row', { name: /Bin 1 ?done when fill 2 is empty 600 m² 30 L/ })).toBeVisible();
	await expect(turn.getByRole('row', { name: /Bin 2 ?done with 12 L of fill 3 left 60 m² 3 L/ })).toBeVisible();
	await expect(
		turn.getByRole('row', { name: /Bin 3 ?fill 3 ends 240 m² in; done when fill 4 is empty 340 m² 17 L/ }),
	).toBeVisible();
	await page.getByRole('button', { name: 'Save the job' }).click();

	await expect(page.getByRole('heading', { name: 'Bin 1 and 2 more: Binspray 25' })).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	const card = page.getByRole('article');
	await expect(card.getByRole('list', { name: 'Closed spaces of this treatment' })).toContainText(
		'done with 12 L of fill 3 left',
	);
	await page.getByRole('button', { name: 'Log this treatment' }).click();
	await page.getByRole('textbox', { name: 'Began', exact: true }).fill('08:00');
	await page.getByRole('textbox', { name: 'Ended', exact: true }).fill('10:00');
	await page.getByLabel('Each space with its own times').check();
	await page.getByLabel('Began, Bin 1').fill('08:00');
	await page.getByLabel('Ended, Bin 1').fill('09:00');
	await page.getByRole('checkbox', { name: 'The treatment was broken off before it was done' }).check();
	await page.getByLabel('Why').fill('nightfall');
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('alert')).toContainText('all is entered as treated');
	await page.getByRole('textbox', { name: 'Bin 3', exact: true }).fill('0');
	await page.getByRole('button', { name: 'Read it back' }).click();
	const readBack = page.getByRole('dialog');
	await expect(readBack).toContainText('600 m², 08:00 – 09:00');
	await expect(readBack).toContainText('not treated');
	await page.getByRole('button', { name: 'Log treatment 1' }).click();
	await expect(page.getByRole('row', { name: 'Binspray 25 0.66 L 3.34 L' })).toBeVisible();

	await page.getByRole('button', { name: 'To the job' }).click();
	await page
		.getByRole('link', { name: /Go on with/ })
		.or(page.getByRole('button', { name: /Go on with/ }))
		.first()
		.click();
	await expect(page.getByRole('textbox', { name: 'Bin 3', exact: true })).toHaveValue('340');
	await expect(page.getByRole('textbox', { name: 'Bin 1', exact: true })).toHaveCount(0);
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log treatment 1' }).click();
	await expect(page.getByRole('row', { name: 'Binspray 25 0.34 L 3.0 L' })).toBeVisible();
	await page.goto(`${app.origin}/#/farm/records`);
	await expect(page.getByText('3 closed spaces, 1,000 m²')).toBeVisible();
	await expect(page.getByText('Bin 1, Bin 2, Bin 3')).toBeVisible();
});
