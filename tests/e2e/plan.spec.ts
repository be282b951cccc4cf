import { expect, type Page } from 'playwright/test';
import { type App, test } from './app.ts';

type Books = { readonly sprayerId: string; readonly fields: readonly string[]; readonly products: readonly string[] };
let books: Books;

/** Two fields, a product with a limit from memory, a wetter, and a sprayer of 3,000 L. */
async function layBooks(app: App): Promise<Books> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const fields = [
		await id('fields.add', { name: 'Long Piece', measuredHa: 40, mappedHa: 40.2 }),
		await id('fields.add', { name: 'Mill Bank', measuredHa: 20, mappedHa: 20 }),
	];
	const limits = [
		{ kind: 'singleDose', max: 2 },
		{ kind: 'singleDose', max: 1.2, source: 'notes of last year', fromMemory: true },
	];
	const products = [
		await id('products.add', { name: 'Suspension', formulation: 'SC', unit: 'L', packSizes: [5], limits }),
		await id('products.add', { name: 'Wetter', formulation: 'SL', unit: 'L', packSizes: [5] }),
	];
	for (const productId of products) {
		const lot = productId === products[0] ? { batch: 'S1', expires: '2027-12-01' } : {};
		await app.call('store.receive', { key: `in ${productId}`, productId, packSize: 5, packs: 30, ...lot });
	}
	const sprayerId = await id('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300, unsprayableL: 30 });
	return { sprayerId, fields, products };
}

test.beforeAll(async ({ app }) => {
	books = await layBooks(app);
});

async function add(page: Page, label: string, typed: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).focus();
	await page.keyboard.type(typed, { delay: 30 });
	await expect(page.getByRole('listbox').getByRole('option').first()).toBeVisible();
	await page.keyboard.press('Enter');
}

test('doses by the mix, the range at the end, and a reason against a warning', async ({ app, page }) => {
	await app.open(page, '/farm/jobs/new');
	await add(page, 'Field', 'Long');
	await add(page, 'Another field', 'Mill');
	await add(page, 'Product', 'Susp');
	await page.keyboard.type('1.5');
	await add(page, 'Another product', 'Wett');
	await page.keyboard.type('0.1');
	await page.getByLabel('Unit of the dose of Wetter').selectOption('% v/v');
	await page.getByRole('textbox', { name: 'Spray volume' }).fill('100');
	await expect(page.getByText('= 0.1 L/ha')).toBeVisible();
	await expect(page.getByText('from the shelf: batch S1, expires 1 Dec 2027: 90.45 L')).toBeVisible();
	const end = page.getByRole('region', { name: 'At the end of the job' });
	await expect(end).toContainText(/Between \d+ L short \(\d\.\d\d ha to go\) and \d+ L left/);
	await end.getByText('The usual ways out').click();
	for (const way of ['A smaller last load', 'Hold back', 'A top-up at the same dose', 'Carry it on', 'Washings']) {
		await expect(end.getByText(`${way}.`)).toBeVisible();
	}
	await expect(page.getByText('notes of last year')).toBeVisible();
	const why = page.getByLabel('Why it goes on against the warning');
	await page.getByRole('button', { name: 'Save the job' }).click();
	await expect(why).toBeFocused();
	await why.fill('The label of this year allows 2 L/ha.');
	await page.getByRole('button', { name: 'Save the job' }).click();
	await expect(page.getByText('Goes on against a warning: The label of this year allows 2 L/ha.')).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	const card = page.getByRole('article', { name: /^Load card/ });
	await expect(card).toContainText('SL · 0.1 % v/v');
	await expect(card).toContainText('batch S1');
	await expect(card).toContainText(/load ends \d+\.\d\d ha into it/);
	await expect(card).toContainText('Goes on because: The label of this year allows 2 L/ha.');
});

test('a job saved by another door asks for its reason before the card is printed', async ({ app, page }) => {
	const { id } = (await app.call('jobs.add', { key: 'small', ...mix(1, 2) })) as { id: string };
	await app.open(page, `/farm/jobs/${id}`);
	await page.getByRole('button', { name: 'Print the card' }).click();
	await expect(page.getByText('below the smallest load')).toBeVisible();
	await page.getByLabel('Why it goes on against the warning').fill('Only the corner.');
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Keep the reason and print' }).click();
	expect((await download).suggestedFilename()).toMatch(/load 1\.pdf$/);
	await expect(page.getByText('Goes on against a warning: Only the corner.')).toBeVisible();
});

test('a saved plan is changed; the one before stays readable', async ({ app, page }) => {
	const { id } = (await app.call('jobs.add', { key: 'to change', ...mix(1, 60) })) as { id: string };
	await app.open(page, `/farm/jobs/${id}`);
	await page.getByRole('button', { name: 'Change the plan' }).click();
	await expect(page.getByRole('textbox', { name: 'Dose of Suspension' })).toHaveValue('1');
	await page.getByRole('textbox', { name: 'Dose of Suspension' }).fill('1.1');
	await page.getByRole('textbox', { name: 'Spray volume' }).fill('120');
	await page.getByRole('button', { name: 'Save the changed plan' }).click();
	await expect(page.getByText('120 L/ha').first()).toBeVisible();
	await page.getByText('1 earlier plan').click();
	await expect(page.getByText(/at 100 L\/ha: Suspension 1\.0 L\/ha/)).toBeVisible();
});

test('a plan that someone else changed meanwhile is refused cleanly', async ({ app, page }) => {
	const { id } = (await app.call('jobs.add', { key: 'twice', ...mix(1, 60) })) as { id: string };
	await app.open(page, `/farm/jobs/${id}/edit`);
	await expect(page.getByRole('textbox', { name: 'Dose of Suspension' })).toHaveValue('1');
	await app.call('jobs.change', { key: 'meanwhile', id, version: 1, ...mix(0.9, 60) });
	await page.getByRole('textbox', { name: 'Dose of Suspension' }).fill('1.1');
	await page.getByRole('button', { name: 'Save the changed plan' }).click();
	await expect(page.getByRole('alert')).toContainText('changed');
});

test('rain: the mix of a broken-off load is carried into the next, the rest planned for another day', async ({
	app,
	page,
}) => {
	const { id } = (await app.call('jobs.add', { key: 'rain', ...mix(1, 50) })) as { id: string };
	const times = { startedAt: '2026-04-15T07:00', finishedAt: '2026-04-15T08:00', operator: 'A. Marsh' };
	await app.call('jobs.logLoad', {
		key: 'rain 1',
		jobId: id,
		load: 1,
		...times,
		actual: { fields: [{ fieldId: books.fields[0], areaHa: 10 }] },
		stopped: { why: 'rain', mixLeftL: 1500, mix: 'kept' },
	});
	await app.open(page, `/farm/jobs/${id}`);
	await expect(page.getByText(/^Load 1 was broken off: \d+\.\d\d ha to go\.$/)).toBeVisible();
	await expect(page.getByText('Rain. 1,500 L of mix were kept.')).toBeVisible();
	// The picture is of the tank as it stood then, not of the whole load as it was to be filled.
	const tank = page.getByRole('region', { name: 'In the tank, load 1' }).getByRole('img');
	await expect(tank).toHaveAccessibleName(/10\.00 ha covered.* 1,500 L of mix was left in the tank, and kept/);
	await page.getByRole('button', { name: 'Plan the rest again' }).click();
	await expect(page.getByLabel('Carry the mix of load 1 into the next load')).toBeChecked();
	await expect(page.getByLabel('Mix of this job in the tank')).toHaveValue('1530');
	await expect(page.getByLabel('Still to go, Long Piece')).toHaveValue('30');
	await page.getByLabel('Spray date').fill('2026-04-18');
	await page.getByRole('textbox', { name: 'Why' }).fill('rain');
	await expect(page.getByText('40.00 ha to go')).toBeVisible();
	await page.getByRole('button', { name: 'Save the new plan' }).click();
	await expect(page.getByText('18 April 2026')).toBeVisible();
	await expect(page.getByRole('button', { name: 'Print the card' })).toBeVisible();
	const job = (await app.call('jobs.get', { id })) as {
		plan: { loads: { load: number; carriedInL: number }[]; carried: object[] };
	};
	expect(job.plan.carried).toEqual([{ from: 1, into: 2 }]);
	expect(job.plan.loads[1]).toMatchObject({ load: 2, carriedInL: 1530 });
});

test('it ran short: a top-up at the same dose', async ({ app, page }) => {
	const { id } = (await app.call('jobs.add', { key: 'short', ...mix(1, 20) })) as { id: string };
	const times = { startedAt: '2026-04-15T07:00', finishedAt: '2026-04-15T08:00', operator: 'A. Marsh' };
	await app.call('jobs.logLoad', { key: 'short 1', jobId: id, load: 1, ...times });
	await app.open(page, `/farm/jobs/${id}`);
	await page.getByRole('button', { name: 'It ran short: a top-up load' }).click();
	await page.getByLabel('Still to go, Long Piece').fill('4');
	await page.getByRole('textbox', { name: 'Why' }).fill('ran out 4 ha before the end');
	await expect(page.getByText('One load of 430 L.')).toBeVisible();
	// The log says all of it is sprayed: one of the two is wrong.
	await expect(page.getByText('4.00 ha would stand on the records twice', { exact: false })).toBeVisible();
	await page.getByRole('button', { name: 'Plan the top-up' }).click();
	await expect(page.getByRole('row', { name: /^2 4\.00 430 L/ })).toBeVisible();

	// A small one asks for no second reason.
	await app.call('jobs.logLoad', { key: 'short 2', jobId: id, load: 2, ...times });
	await app.open(page, `/farm/jobs/${id}`);
	await page.getByRole('button', { name: 'It ran short: a top-up load' }).click();
	await page.getByLabel('Still to go, Long Piece').fill('0.5');
	await page.getByRole('textbox', { name: 'Why', exact: true }).fill('a corner');
	await expect(page.getByText('See that it still agitates')).toBeVisible();
	await page.getByRole('button', { name: 'Plan the top-up' }).click();
	await expect(page.getByText('Goes on against a warning: a corner')).toBeVisible();
});

test('weather and times are asked once, and per field where they differed', async ({ app, page }) => {
	const { id } = (await app.call('jobs.add', {
		key: 'weather',
		...mix(1, 50),
		fields: books.fields.map((fieldId) => ({ fieldId, areaHa: 10 })),
	})) as { id: string };
	await app.open(page, `/farm/jobs/${id}/1/log`);
	await page.getByLabel(/^On\b/).fill('2026-04-15');
	await page.getByLabel('Began').fill('07:00');
	await page.getByLabel('Ended').fill('11:00');
	await page.getByLabel('Wind speed', { exact: true }).fill('8');
	await page.getByLabel('Temperature', { exact: true }).fill('12');
	await page.getByLabel('Humidity', { exact: true }).fill('70');
	await expect(page.getByLabel('Wind speed, Mill Bank')).toBeHidden();
	await page.getByLabel('Each field with its own times and weather').check();
	await page.getByLabel('Began, Mill Bank').fill('09:30');
	await page.getByLabel('Ended, Mill Bank').fill('11:00');
	await page.getByLabel('Wind speed, Mill Bank').fill('14');
	await page.getByLabel('Temperature, Mill Bank').fill('19');
	await expect(page.getByText(/Delta T/)).toHaveCount(3);
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toContainText('09:30 – 11:00, wind 14 km/h');
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByRole('heading', { name: 'Load 1 is logged' })).toBeVisible();
	const records = (await app.call('records.list', { jobId: id })) as {
		field: string;
		startedAt: string;
		weather: { windSpeedKmh: number; temperatureC: number; humidityPercent: number };
	}[];
	const seen = records.map(({ field, startedAt, weather }) => [field, startedAt.slice(11, 16), weather]);
	expect(seen).toEqual([
		['Mill Bank', '09:30', { windSpeedKmh: 14, temperatureC: 19, humidityPercent: 70 }],
		['Long Piece', '07:00', { windSpeedKmh: 8, temperatureC: 12, humidityPercent: 70 }],
	]);
});

/** Suspension at a dose, on Long Piece and what goes beyond it on Mill Bank. */
function mix(dosePerHa: number, areaHa: number) {
	const [longPiece, millBank] = books.fields;
	return {
		sprayerId: books.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [
			{ fieldId: longPiece, areaHa: Math.min(40, areaHa) },
			...(areaHa > 40 ? [{ fieldId: millBank, areaHa: areaHa - 40 }] : []),
		],
		products: [{ productId: books.products[0], dosePerHa }],
		date: '2026-04-15',
	};
}
