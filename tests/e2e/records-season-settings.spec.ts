import { existsSync } from 'node:fs';
import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from 'playwright/test';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { type App, test } from './app.ts';

const today = () => new Date().toISOString().slice(0, 10);

/** One field of 20 ha, treated with one load of two products; neither crop nor wind was entered. */
async function layBooks(app: App): Promise<void> {
	const { farmName } = (await app.call('settings.get')) as { farmName: string | null };
	if (farmName !== null) return;
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', operator: 'A. Marsh', ruleSet: 'uk-code' });
	const { id: fieldId } = (await app.call('fields.add', { name: 'Long Piece', measuredHa: 20 })) as { id: string };
	const products = [];
	for (const name of ['Suspension', 'Solution']) {
		const { id } = (await app.call('products.add', {
			name,
			formulation: name === 'Solution' ? 'SL' : 'SC',
			unit: 'L',
			packSizes: [5],
			authorisationNo: `A-${name}`,
		})) as { id: string };
		await app.call('store.receive', { key: `in ${name}`, productId: id, packSize: 5, packs: 8 });
		products.push({ productId: id, dosePerHa: 1 });
	}
	const { id: sprayerId } = (await app.call('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300 })) as {
		id: string;
	};
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'job',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products,
		date: today(),
		reason: 'septoria',
	})) as { id: string };
	const span = { startedAt: `${today()}T00:10`, finishedAt: `${today()}T01:10` };
	await app.call('jobs.logLoad', { key: 'log', jobId, load: 1, ...span, operator: 'A. Marsh' });
}

/** The demonstration farm’s finished season, chosen on the page. */
async function chooseFinishedSeason(page: Page): Promise<void> {
	await page.getByRole('combobox', { name: 'Period' }).click();
	await page.getByRole('option', { name: `Harvest ${seasonOf(today(), 10) - 1}` }).click();
}

test('a job’s records are completed once, one is corrected, and both versions stand side by side', async ({
	app,
	page,
}) => {
	await layBooks(app);
	await app.open(page, '/farm/records');
	const entry = page.getByRole('article');
	await expect(entry.getByText('lacks crop, wind')).toBeVisible();
	await entry.getByRole('button', { name: 'Complete all 2 lines' }).click();
	const complete = page.getByRole('dialog', { name: 'Complete the records of this job' });
	await complete.getByRole('textbox', { name: 'Crop', exact: true }).fill('Winter wheat');
	await complete.getByRole('textbox', { name: 'Wind' }).fill('9');
	await complete.getByRole('textbox', { name: 'Temperature' }).fill('18');
	await complete.getByRole('textbox', { name: 'Humidity' }).fill('60');
	await expect(complete.getByText(/Delta T \d/)).toBeVisible();
	await complete.getByRole('textbox', { name: 'Entered by' }).press('Enter');
	await expect(page.getByText('2of 2 lines')).toBeVisible();

	await page.getByRole('button', { name: 'Show 2 lines of Winter wheat: septoria' }).press('Enter');
	await page.getByRole('row', { name: /^Long Piece .*Solution SL/ }).press('Enter');
	await page.getByRole('button', { name: 'Correct it' }).click();
	const correct = page.getByRole('dialog', { name: 'Correct Solution on Long Piece' });
	await correct.getByRole('textbox', { name: 'Growth stage' }).fill('37');
	await correct.getByRole('textbox', { name: 'Why' }).fill('read again');
	await correct.getByRole('button', { name: 'Write the correction' }).click();
	const versions = page.getByRole('table', { name: 'What the record says, version by version' });
	await expect(versions.getByRole('row', { name: /^Growth stage BBCH 37 – –/ })).toBeVisible();
	await expect(versions.getByRole('columnheader', { name: /^Now, version 3.*read again/ })).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
});

test('a seal is found again in the books, a foreign one is not', async ({ app, page }) => {
	await layBooks(app);
	await app.open(page, '/farm/records');
	await page.getByRole('button', { name: 'Check every entry' }).click();
	const seal = await page
		.getByRole('row', { name: /^store ledger/ })
		.getByRole('cell')
		.last()
		.textContent();
	const printed = page.getByRole('textbox', { name: 'Seal from a printed report' });
	await printed.fill(`ledger · ${seal}`);
	await printed.press('Enter');
	await expect(page.getByText(/The seal is entry \d+ of the store ledger, the newest/)).toBeVisible();
	await printed.fill(`ledger 999 · ${seal}`);
	await printed.press('Enter');
	await expect(page.getByText(/The seal is entry \d+ of the store ledger, not 999 as entered/)).toBeVisible();
	await printed.fill('0123456789abcdef');
	await printed.press('Enter');
	await expect(page.getByText('The seal is nowhere in the books.')).toBeVisible();
});

test('a season’s findings come with every cause, its stock is drawn, its report is downloaded', async ({
	app,
	page,
}) => {
	await app.call('upkeep.buildDemo', {}, 'demo');
	await app.open(page, '/demo/season');
	await chooseFinishedSeason(page);
	const finding = page.getByRole('article').first();
	await expect(finding.getByText(/left the store and reached no tank/).first()).toBeVisible();
	await expect(finding.getByRole('heading', { name: 'Wrong count' })).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);

	await page.getByRole('link', { name: 'Statement' }).click();
	await page
		.getByRole('grid', { name: 'Store' })
		.getByRole('row', { name: /^Quillon 480/ })
		.press('Enter');
	await expect(page.getByRole('img', { name: /^Stock of Quillon 480: 0 L at the start/ })).toBeVisible();
	const finished = seasonOf(today(), 10) - 1;
	const use = page.getByRole('img', { name: `Quillon 480 that went into loads: harvest ${finished} 336.32 L.` });
	await expect(use.locator('path.recharts-line-curve')).toHaveCount(1);
	const counts = page.getByRole('img', { name: /^2 counts of Quillon 480 against the book: .* −5\.00 L/ });
	await expect(counts.locator('.recharts-bar-rectangle')).not.toHaveCount(0);
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);

	await page.getByRole('link', { name: 'Reports' }).click();
	await page.getByRole('link', { name: /^Stock statement/ }).click();
	await expect(page.getByRole('heading', { name: 'Stock statement' })).toBeVisible();
	const downloading = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Spreadsheet, XLSX' }).click();
	expect((await downloading).suggestedFilename()).toMatch(/^Stock statement .*\.xlsx$/);

	await page.getByRole('link', { name: /^Today/ }).click();
	await expect(page.getByText(new RegExp(`^As it stands at .*${new Date().getFullYear()}`))).toBeVisible();
	await expect(page.getByText(/^As it stands at 23:59 on 30 September/)).toHaveCount(0);

	await page.getByRole('link', { name: /^Limits used/ }).click();
	const used = page.getByRole('row', { name: /Veldane 250, total dose per crop .* 85 / }).first();
	await expect(used).toBeVisible();
	await expect(used.locator('svg.share-bar')).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
});

test('the sheet of one job is a press away from its page, and goes out as a file of its own', async ({ app, page }) => {
	await layBooks(app);
	const [job] = (await app.call('jobs.list')) as { id: string }[];
	await app.open(page, `/farm/jobs/${job?.id}`);
	await page.getByRole('button', { name: 'Job sheet' }).click();
	await expect(page.getByText('This job alone, whenever it was done.')).toBeVisible();
	await expect(page.getByRole('cell', { name: 'Solution A-Solution' })).toHaveCount(1);
	const downloading = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Record file of the EU rule' }).click();
	expect((await downloading).suggestedFilename()).toBe(`Spray records ${today()} to ${today()}.json`);
	await page.getByRole('link', { name: 'All jobs of the period' }).click();
	await expect(page.getByText('This job alone')).toHaveCount(0);
});

test('a backup is made, checked and gone back to; the way is written down', async ({ app, page }) => {
	await layBooks(app);
	await app.open(page, '/farm/settings/books');
	await page.getByRole('button', { name: 'Make and check the copy' }).click();
	await expect(page.getByText(/^Checked copy in/)).toBeVisible();
	expect(existsSync(await page.getByRole('textbox', { name: 'Into the file' }).inputValue())).toBe(true);
	await app.call('fields.add', { name: 'Too much', measuredHa: 1 });
	await page.getByRole('button', { name: 'Check this backup' }).click();
	await page.getByRole('button', { name: 'Go back to this backup' }).click();
	await page.getByRole('button', { name: 'Replace the books' }).click();
	await expect(page.getByText('The books are those of the backup.')).toBeVisible();
	const fields = (await app.call('fields.list')) as { name: string }[];
	expect(fields.map(({ name }) => name)).toEqual(['Long Piece']);

	await page.getByRole('link', { name: 'Who changed what' }).click();
	await page.getByRole('row', { name: /Load logged/ }).press('Enter');
	await expect(page.getByRole('dialog', { name: 'Load logged' })).toContainText('operator');
});

test('settings are saved, and record rules are looked at before they are used', async ({ app, page }) => {
	await layBooks(app);
	await app.open(page, '/farm/settings');
	await page.getByRole('textbox', { name: 'Error of the water meter' }).fill('1,5');
	await page.getByRole('button', { name: 'Save the settings' }).click();
	await expect(page.getByText('The settings are saved.')).toBeVisible();
	await page.getByRole('link', { name: 'Record rules' }).click();
	await page.getByRole('radio', { name: /^EC 1107/ }).check();
	await expect(page.getByRole('table', { name: 'EC 1107/2009 minimum' })).toBeVisible();
	await page.getByRole('button', { name: 'Hold the records against these' }).click();
	await expect(page.getByRole('button', { name: 'Hold the records against these' })).toBeHidden();
	expect(await app.call('settings.get')).toMatchObject({ meterErrorPercent: 1.5, ruleSet: 'base' });
});

test('a certificate that runs out soon is entered with its operator and told of on the first page', async ({
	app,
	page,
}) => {
	await layBooks(app);
	await app.open(page, '/farm/settings/operators');
	await page.getByRole('textbox', { name: 'Name' }).fill('B. Reed');
	await page.getByRole('textbox', { name: 'Certificate number' }).fill('SP-7');
	const inTenDays = new Date(Date.now() + 10 * 86_400_000).toISOString().slice(0, 10);
	await page.getByLabel('Runs out on').fill(inTenDays);
	await page.getByRole('button', { name: 'Put on the list' }).click();
	await expect(page.getByRole('row', { name: /B\. Reed SP-7/ })).toBeVisible();
	await page.getByRole('combobox', { name: 'Who usually sprays' }).fill('B. Re');
	await page.getByRole('option', { name: 'B. Reed' }).click();
	await page.getByRole('button', { name: 'Save who usually sprays' }).click();
	await expect(page.getByRole('status').filter({ hasText: 'B. Reed is offered first' })).toBeVisible();
	await app.open(page, '/farm/jobs/new');
	await expect(page.getByLabel('Operator', { exact: true })).toHaveValue('B. Reed');
	await app.open(page, '/farm/fields');
	const reminders = page.getByRole('list', { name: 'Reminders' });
	await expect(reminders).toContainText('Certificate of B. Reed: runs out on');
	await reminders.getByRole('link', { name: 'Operators' }).click();
	await page.getByRole('gridcell', { name: 'B. Reed' }).click();
	await page.getByRole('button', { name: 'Take off the list' }).click();
	await expect(page.getByText('No operator is on the list yet.')).toBeVisible();
	await expect(reminders).toHaveCount(0);
});

test('a line on which a limit was not kept is marked in the list, the chain’s answer stands under its button', async ({
	app,
	page,
}) => {
	await layBooks(app);
	const [product] = (await app.call('products.list')) as { id: string; version: number }[];
	const limits = [{ kind: 'singleDose', max: 0.5 }];
	await app.call('products.update', { key: 'limit', ...product, limits });
	const [field] = (await app.call('fields.list')) as { id: string }[];
	const [sprayer] = (await app.call('sprayers.list')) as { id: string }[];
	const job = {
		...{ key: 'over', name: 'Over the dose', sprayerId: sprayer?.id, sprayVolumeLPerHa: 100, date: today() },
		...{ fields: [{ fieldId: field?.id, areaHa: 2 }], products: [{ productId: product?.id, dosePerHa: 0.4 }] },
	};
	const { id: jobId } = (await app.call('jobs.add', job)) as { id: string };
	await app.call('jobs.logLoad', {
		...{ key: 'over it', jobId, load: 1, operator: 'A. Marsh' },
		...{ startedAt: `${today()}T00:20`, finishedAt: `${today()}T00:30` },
		actual: { products: [{ productId: product?.id, amount: 1.4 }] },
	});
	await app.open(page, '/farm/records');
	await expect(page.getByText('a limit not kept on the one line')).toBeVisible();
	await page
		.getByRole('article')
		.filter({ hasText: 'a limit not kept' })
		.getByRole('button', { name: /^Show/ })
		.click();
	await expect(page.getByRole('row').filter({ hasText: 'limit not kept' })).toHaveCount(1);
	const check = page.getByRole('button', { name: 'Check every entry' });
	await check.click();
	const sound = page.getByText(/^All \d+ entries follow on from each other/);
	const [above, below] = [await check.boundingBox(), await sound.boundingBox()];
	expect((below?.y ?? 0) - (above?.y ?? 0)).toBeLessThan(120);
});
