import AxeBuilder from '@axe-core/playwright';
import { expect, type Locator } from 'playwright/test';
import { test } from './app.ts';

/** A square of that many metres a side, drawn at 41.5° N, 93.6° W. */
function square(sideM: number) {
	const [lon, lat] = [-93.6, 41.5];
	const [dLon, dLat] = [sideM / (111_320 * Math.cos((lat * Math.PI) / 180)), sideM / 111_132];
	const ring = [
		[lon, lat],
		[lon + dLon, lat],
		[lon + dLon, lat + dLat],
		[lon, lat + dLat],
		[lon, lat],
	];
	return { type: 'Polygon' as const, coordinates: [ring] };
}

async function pick(scope: Locator, label: string, typed: string): Promise<void> {
	const box = scope.getByRole('combobox', { name: label, exact: true });
	await box.click();
	await box.pressSequentially(typed);
	await box.press('Enter');
}

test('a US farm reads its register, an entry and a report in acres; read in metric it is as it always was', async ({
	app,
	page,
}) => {
	const season = { seasonStartMonth: 10, zone: 'America/Chicago' };
	await app.call('settings.save', {
		key: 'us',
		farmName: 'Prairie Farm',
		operator: 'A. Marsh',
		...season,
		ruleSet: 'us-7cfr110',
	});
	// 80 international acres are 32.3749 ha.
	await app.call('fields.add', { name: 'North 80', mappedHa: 32.3748, geometry: square(569) });
	await app.open(page, '/farm/fields');
	const register = page.getByRole('grid', { name: 'Field register' });
	await expect(register.getByRole('columnheader', { name: 'mapped ac' })).toBeVisible();
	await expect(register.getByRole('row', { name: /^North 80 – 80\.00 / }).first()).toBeVisible();
	await expect(page.getByText('ac to load for')).toBeVisible();
	await expect(page.getByRole('main')).not.toContainText(/\bha\b/);
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);

	await register
		.getByRole('row', { name: /^North 80/ })
		.first()
		.press('Enter');
	await expect(page.getByText(/give or take [\d.]+ ac · [\d,]+ ft round/)).toBeVisible();
	await page.getByRole('button', { name: 'Change', exact: true }).click();
	const mapped = page.getByRole('dialog').getByRole('textbox', { name: 'Mapped area', exact: true });
	await expect(mapped).toHaveValue('80');
	await mapped.fill('81');
	await page.getByRole('dialog').getByRole('button', { name: 'Save' }).click();
	await expect(page.getByRole('dialog')).toBeHidden();
	const [field] = (await app.call('fields.list')) as { mappedHa: number }[];
	expect(field?.mappedHa).toBeCloseTo(81 * 0.40468564224, 4);

	await page.goto(`${app.origin}/#/farm/season/reports/area-statement`);
	const report = page.getByRole('article', { name: 'Area statement' });
	const mappedIn = (unit: string) => report.getByRole('columnheader', { name: `mapped ${unit}`, exact: true });
	await expect(mappedIn('ac')).toBeVisible();
	await expect(page.getByRole('row', { name: /^North 80 81\.00 / })).toBeVisible();

	await page.goto(`${app.origin}/#/farm/settings`);
	await page.getByRole('combobox', { name: 'Screens and reports read in' }).click();
	await page.getByRole('option', { name: 'Metric, L, kg and ha' }).click();
	await page.getByRole('button', { name: 'Save the settings' }).click();
	await expect(page.getByText('The settings are saved.')).toBeVisible();
	await page.goto(`${app.origin}/#/farm/fields`);
	await expect(register.getByRole('columnheader', { name: 'mapped ha' })).toBeVisible();
	await expect(register.getByRole('row', { name: /^North 80 – 32\.78 / }).first()).toBeVisible();
	await page.goto(`${app.origin}/#/farm/season/reports/area-statement`);
	await expect(mappedIn('ha')).toBeVisible();
	await expect(page.getByRole('row', { name: /^North 80 32\.78 / })).toBeVisible();
});

test('a plan, its job and the running fill read in gallons and acres', async ({ app, page }) => {
	await app.call('settings.save', {
		key: 'us again',
		farmName: 'Prairie Farm',
		operator: 'A. Marsh',
		ruleSet: 'us-7cfr110',
		displayUnits: null,
	});
	const { id: fieldId } = (await app.call('fields.add', { name: 'South 80', measuredHa: 32.37485 })) as { id: string };
	// 1,200 gal; packs of 2.5 gal.
	const machine = { name: 'Self-propelled', capacityL: 4542.494, minimumL: 378, inflowLPerMin: 378.5412 };
	const { id: sprayerId } = (await app.call('sprayers.add', machine)) as { id: string };
	const product = { name: 'Grassline', formulation: 'EC', unit: 'L', packSizes: [9.463529] };
	const { id: productId } = (await app.call('products.add', product)) as { id: string };
	await app.call('store.receive', { key: 'in', productId, packSize: 9.463529, packs: 4 });
	// 15 gal/ac and 16 fl oz/ac on 80 ac: one load of 1,200 gal with 10 gal of product.
	const { id: jobId } = (await app.call('jobs.add', {
		...{ key: 'job', sprayerId, sprayVolumeLPerHa: 140.3093, fields: [{ fieldId }] },
		products: [{ productId, dosePerHa: 1.169244 }],
		...{ date: new Date().toISOString().slice(0, 10), reason: 'grasses' },
	})) as { id: string };
	await app.open(page, `/farm/jobs/${jobId}`);
	await expect(page.getByText(/ · 15 gal\/ac · /)).toBeVisible();
	await expect(page.getByText('tank 1,200 gal')).toBeVisible();
	const order = page.getByRole('table', { name: /order/ });
	await expect(order.getByText('4 × 2.5 gal')).toBeVisible();
	await expect(page.getByRole('main')).not.toContainText(/\d (L|ha|kg|L\/ha)\b/);
	await page.goto(`${app.origin}/#/farm/jobs/${jobId}/fill/1`);
	await expect(page.getByText('gal on the meter')).toBeVisible();
	await expect(page.getByText(/^1,190\s*gal on the meter$/)).toBeVisible();
	await expect(page.getByText('2.5 gal full container')).toBeVisible();
	await expect(page.getByRole('main')).not.toContainText(/\d (L|ha|kg|L\/min)\b/);
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	await page.goto(`${app.origin}/#/farm/jobs/${jobId}/1/card`);
	const card = page.getByRole('article', { name: /^Load card/ });
	await expect(card.getByText('Metered water in gallons, from zero')).toBeVisible();
	await expect(card.locator('.reading').last()).toHaveText('1190 gal');
	await expect(card.getByText('4 × 2.5 gal')).toBeVisible();
	await expect(card).not.toContainText(/\d (L|ha|kg|L\/min|m|km\/h|bar)\b/);
	await page.goto(`${app.origin}/#/farm/store`);
	await expect(page.getByRole('grid', { name: 'On hand by the book' }).getByText('10.0 gal')).toBeVisible();
});

test('packs are entered, delivered and kept in gallons to the last digit', async ({ app, page }) => {
	await app.call('settings.save', {
		key: 'us packs',
		farmName: 'Prairie Farm',
		displayUnits: 'US customary',
		operator: 'A. Marsh',
	});
	await app.call('products.add', { name: 'Oldmere', formulation: 'SL', unit: 'L', packSizes: [5, 9.463529] });
	await app.open(page, '/farm/store/products');
	await page.getByRole('button', { name: 'Put a product on the books' }).first().click();
	const dialog = page.getByRole('dialog');
	await dialog.getByRole('textbox', { name: 'Name', exact: true }).fill('Newmere');
	await pick(dialog, 'Formulation', 'EC');
	await dialog.getByRole('textbox', { name: 'Pack sizes' }).fill('2.5');
	await expect(dialog.getByText('2.5 gal', { exact: true })).toBeVisible();
	await pick(dialog, 'Formulation', 'WG');
	await expect(dialog.getByText('2.5 lb', { exact: true })).toBeVisible();
	await pick(dialog, 'Formulation', 'EC');
	await dialog.getByRole('textbox', { name: 'Pack sizes' }).fill('2.5, 1 qt');
	await expect(dialog.getByText('2.5 gal', { exact: true })).toBeVisible();
	await expect(dialog.getByText('32 fl oz', { exact: true })).toBeVisible();
	await dialog.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(dialog).toBeHidden();
	expect(await sizesOf('Newmere')).toEqual([9.463529, 0.9463529]);

	await page.getByRole('row', { name: /Oldmere/ }).click();
	await page.getByRole('button', { name: 'Change' }).first().click();
	await expect(dialog.getByRole('textbox', { name: 'Pack sizes' })).toHaveValue('1.32086, 2.5');
	await dialog.getByRole('textbox', { name: 'Pack sizes' }).fill('1.32086, 2.5, 10');
	await dialog.getByRole('button', { name: 'Save the change' }).click();
	await expect(dialog).toBeHidden();
	expect(await sizesOf('Oldmere')).toEqual([5, 9.463529, 37.85412]);

	await page.goto(`${app.origin}/#/farm/store`);
	await page.getByRole('button', { name: 'Book a delivery' }).first().click();
	await pick(dialog, 'Product', 'Newmere');
	await expect(dialog.getByRole('combobox', { name: 'Pack', exact: true })).toHaveValue('2.5 gal');

	async function sizesOf(name: string) {
		const products = (await app.call('products.list')) as { name: string; packSizes: number[] }[];
		return products.find((product) => product.name === name)?.packSizes;
	}
});
