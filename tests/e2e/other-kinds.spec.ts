import { expect, type Page } from 'playwright/test';
import { test } from './app.ts';
import { idOf, layBooks, planSeed } from './machines-books.ts';

const TIMES = { startedAt: '2026-09-20T07:00:00', finishedAt: '2026-09-20T08:00:00', operator: 'A. Marsh' };

async function add(page: Page, label: string, typed: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).focus();
	await page.keyboard.type(typed, { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
}

async function choose(page: Page, label: string, option: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).click();
	await page.getByRole('option', { name: option }).click();
}

test.beforeEach(async ({ app }) => layBooks(app));

test('pellets are planned as hopper fills, logged, drawn and recorded', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await page.getByRole('radiogroup', { name: 'How it is brought out' }).getByText('Granules').click();
	await add(page, 'Field', 'Long');
	await add(page, 'Product', 'Mill');
	await page.keyboard.type('5');
	await expect(page.getByText('3 fills, the largest 60 kg.')).toBeVisible();
	await expect(page.getByText('31.00 ha to spread')).toBeVisible();
	await expect(page.getByRole('combobox', { name: 'Granule applicator' })).toHaveValue('Spreader');
	await expect(page.getByRole('textbox', { name: 'Spray volume' })).toHaveCount(0);
	await page.getByRole('button', { name: 'Save the job' }).click();

	await expect(page.getByText('Fill 1: 60 kg.')).toBeVisible();
	await expect(page.getByRole('button', { name: 'Fill in the yard' })).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	await expect(page.getByRole('heading', { name: 'Fill 1 of 3' }).first()).toBeVisible();
	const card = page.getByRole('article');
	await expect(card).toContainText('Granules for this fill60 kg');
	await expect(card).toContainText('3 × 20 kg');
	await expect(card).not.toContainText('Metered');

	await page.getByRole('button', { name: 'Log this fill' }).click();
	await expect(page.getByLabel('Metered water')).toHaveCount(0);
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log fill 1' }).click();
	await expect(page.getByRole('row', { name: 'Millrind pellets 60.0 kg 180.0 kg' })).toBeVisible();

	await page.getByRole('link', { name: '1 spray record' }).click();
	await page.getByRole('button', { name: /^Show 1 line/ }).click();
	await page
		.getByRole('row', { name: /Millrind pellets/ })
		.last()
		.click();
	await expect(page.getByText('Granules or pellets')).toBeVisible();
	await expect(page.getByText('12.00 ha at 5 kg/ha')).toBeVisible();
});

test('fertiliser from the store carries a spray: metered, with an order of its own', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await page.getByRole('radiogroup', { name: 'How it is brought out' }).getByText('In fertiliser').click();
	await add(page, 'Field', 'Long');
	await add(page, 'Product', 'Tarn');
	await page.keyboard.type('1');
	await choose(page, 'Fertiliser', 'Fenlow N 28');
	await expect(page.getByRole('combobox', { name: 'Sprayer', exact: true })).toHaveValue('Trailed');
	await page.getByRole('textbox', { name: 'Spray volume' }).fill('200');
	await expect(
		page.getByText(/^199 L\/ha of Fenlow N 28, 1\.28 kg\/L\. Choose nozzles and pressure as for 226 L\/ha/),
	).toBeVisible();
	await expect(page.getByText('2 loads, the largest', { exact: false })).toBeVisible();
	await page.getByRole('button', { name: 'Save the job' }).click();

	await expect(page.getByText('Spray in liquid fertiliser', { exact: false }).first()).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	const card = page.getByRole('article');
	await expect(card).toContainText('Metered Fenlow N 28 in litres, from zero');
	await expect(card).toContainText('jar test');
	await page.getByRole('button', { name: 'Log this load' }).click();
	await page.getByLabel('Metered fertiliser').fill('3000');
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByRole('row', { name: 'Fenlow N 28 3,000.0 L 7,000.0 L' })).toBeVisible();
});

test('the water of a slurry is planned, measured in the yard, logged and recorded', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await page.getByRole('radiogroup', { name: 'How it is brought out' }).getByText('Seed').click();
	await page.getByRole('textbox', { name: 'Seed', exact: true }).fill('1000');
	await page.getByRole('textbox', { name: 'Crop' }).fill('Spring barley');
	await page.getByRole('textbox', { name: 'Slurry volume' }).fill('150');
	await add(page, 'Product', 'Holl');
	await page.keyboard.type('0.2');
	await expect(
		page.getByText('Slurry volume: 0.15 L to 100 kg of seed, and the products alone take up 0.2 L'),
	).toBeVisible();
	await page.getByRole('textbox', { name: 'Slurry volume' }).fill('800');
	await expect(page.getByText('8.0 L of slurry, 6.0 L of it water', { exact: false })).toBeVisible();
	await page.getByRole('button', { name: 'Save the job' }).click();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	await expect(page.getByRole('article')).toContainText('6 L');
	await expect(page.getByRole('article')).toContainText('With the products 8 L of slurry in all.');
	await page.goBack();

	await page.getByRole('button', { name: 'Fill in the yard' }).click();
	await page.getByRole('button', { name: 'Begin' }).click();
	await expect(page.getByText('Part 1 of 2')).toBeVisible();
	await expect(page.getByText('6 L to measure')).toBeVisible();
	await page.getByRole('button', { name: 'Part is in' }).click();
	await page.getByRole('button', { name: 'Part is in' }).click();
	await expect(page.getByLabel('Operator')).not.toHaveValue('');
	await page.getByRole('button', { name: 'Log the fill' }).click();
	await page.getByRole('button', { name: 'Treated: log the batch' }).click();
	await expect(page.getByLabel('Water of the slurry')).toHaveValue('6');
	await page.getByLabel('Water of the slurry').fill('6.3');
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log batch 1' }).click();
	await page.getByRole('link', { name: '1 spray record' }).click();
	await expect(page.getByText('1,000 kg of seed with 6.3 L of water', { exact: false })).toBeVisible();
});

test('treated seed is sown on a field and counts there', async ({ app, page }) => {
	const jobId = await planSeed(app);
	await app.call('jobs.logLoad', { key: 'seed-1', jobId, load: 1, ...TIMES });
	await app.open(page, `/farm/jobs/${jobId}`);
	await expect(page.getByText('5,000 of 5,000 kg treated are not sown yet', { exact: false })).toBeVisible();
	await page.getByRole('button', { name: 'Say where it was sown' }).click();
	await choose(page, 'Field', 'Long Piece');
	await expect(page.getByText('161.3 kg on one hectare.')).toBeVisible();
	await page.getByRole('button', { name: 'It was sown there' }).click();
	await page.getByRole('button', { name: 'To the job' }).click();
	await expect(page.getByRole('row', { name: /^Long Piece .* 31\.00 5,000 kg/ })).toBeVisible();
	await expect(page.getByText('All of it is sown and counts as treated ground.')).toBeVisible();
	const [sowing] = ((await app.call('jobs.get', { id: jobId })) as { sowings: { id: string; date: string }[] }).sowings;
	const found = (await app.call('limits.check', {
		fields: [{ fieldId: await idOf(app, 'fields.list', 'Long Piece') }],
		products: [{ productId: await idOf(app, 'products.list', 'Hollin FS'), dosePerHa: 1 }],
		date: sowing?.date,
	})) as object[];
	expect(found).toContainEqual(
		expect.objectContaining({ kind: 'treatments', verdict: 'block', records: [sowing?.id] }),
	);
});

test('a neat liquid is loaded by the tank, and an applicator is put on the books by hand', async ({ app, page }) => {
	const job = (await app.call('jobs.add', {
		key: 'neat',
		kind: 'neat liquid',
		sprayerId: await idOf(app, 'sprayers.list', 'Trailed'),
		fields: [{ fieldId: await idOf(app, 'fields.list', 'Long Piece') }],
		products: [{ productId: await idOf(app, 'products.list', 'Fenlow N 28'), dosePerHa: 200 }],
		strategy: 'full',
	})) as { id: string; loads: { totalL: number }[] };
	expect(job.loads.map(({ totalL }) => totalL)).toEqual([4000, 2200]);
	await app.open(page, `/farm/jobs/${job.id}/1/card`);
	await expect(page.getByRole('article')).toContainText('product in all, no water');

	await page.goto(`${app.origin}/#/farm/sprayers`);
	await page.getByRole('button', { name: 'Add' }).click();
	await page.getByRole('radiogroup', { name: 'What it is' }).getByText('Granule applicator').click();
	await page.getByLabel('Name').fill('Air spreader');
	await page.getByLabel('Hopper').fill('400');
	await page.getByRole('button', { name: 'Put it on the books' }).click();
	await expect(page.getByRole('heading', { name: 'Air spreader' })).toBeVisible();
	await expect(page.getByRole('row', { name: /Air spreader.* 400 kg/ })).toBeVisible();
	const typed = { Caught: '0.66', 'Width of one pass': '12', Distance: '100', Wanted: '5' };
	for (const [label, value] of Object.entries(typed)) await page.getByRole('textbox', { name: label }).fill(value);
	await expect(page.getByText('5.50kg/ha')).toBeVisible();
	await expect(page.getByText('+10.0%')).toBeVisible();
});

test('a plan starts from a kept recipe of another kind, or from a job as it was done', async ({ app, page }) => {
	await app.call('recipes.save', {
		key: 'slugs',
		name: 'Slug pellets',
		kind: 'granules',
		products: [{ productId: await idOf(app, 'products.list', 'Millrind pellets'), dosePerHa: 5 }],
	});
	await app.open(page, '/farm/jobs/new');
	await choose(page, 'Start from', 'Slug pellets');
	await expect(page.getByRole('radio', { name: 'Granules' })).toBeChecked();
	await expect(page.getByRole('textbox', { name: 'Dose of Millrind pellets' })).toHaveValue('5');
	await page.getByRole('button', { name: 'Start afresh' }).click();
	await app.call('jobs.add', {
		key: 'as it was',
		name: 'Nitrogen and weeds',
		kind: 'spray in liquid fertiliser',
		sprayerId: await idOf(app, 'sprayers.list', 'Trailed'),
		sprayVolumeLPerHa: 180,
		carrier: { name: 'Bulk nitrogen', densityKgPerL: 1.28, lPerHa: 100 },
		fields: [{ fieldId: await idOf(app, 'fields.list', 'Long Piece') }],
		products: [{ productId: await idOf(app, 'products.list', 'Tarnbeck 500'), dosePerHa: 1 }],
	});
	await page.reload();
	await choose(page, 'Start from', 'Nitrogen and weeds');
	await expect(page.getByRole('radio', { name: 'In fertiliser' })).toBeChecked();
	await expect(page.getByRole('textbox', { name: 'Fertiliser', exact: true })).toHaveValue('Bulk nitrogen');
	await expect(page.getByRole('textbox', { name: 'Fertiliser on one hectare' })).toHaveValue('100');
	await expect(page.getByRole('textbox', { name: 'Spray volume' })).toHaveValue('180');
});
