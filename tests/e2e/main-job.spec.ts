import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Polygon } from 'geojson';
import { expect, type Locator, type Page } from 'playwright/test';
import { areaByGeographicLib } from '../geographiclib.ts';
import { sharedData } from '../shared-data.ts';
import { type App, startApp, test } from './app.ts';

const FIXTURES = join(import.meta.dirname, '../fixtures/boundaries');

/** Picks from a list the way a person does: type, Enter, on to the next entry. */
async function pick(scope: Page | Locator, label: string, typed: string): Promise<void> {
	const box = scope.getByRole('combobox', { name: label, exact: true });
	await box.click();
	await box.fill(typed);
	await box.press('Enter');
	await page(scope).keyboard.press('Tab');
}

function page(scope: Page | Locator): Page {
	return 'page' in scope ? scope.page() : scope;
}

async function fill(scope: Page | Locator, entries: Readonly<Record<string, string>>): Promise<void> {
	for (const [label, text] of Object.entries(entries))
		await scope.getByRole('textbox', { name: label, exact: true }).fill(text);
}

test('the whole job, by hand, on a zipped shapefile in a projected reference system', async ({ page }) => {
	test.setTimeout(180_000);
	const app = await startApp();
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(error.message));
	try {
		await test.step('start the book', async () => {
			await app.open(page);
			await page.getByLabel('Name of the farm').fill('Alder Farm');
			await page.getByRole('button', { name: 'Start the book' }).click();
		});
		const fields = await importFields(page, app);
		await enterProduct(page, { name: 'Suspension 500', formulation: 'SC', packSize: '5' });
		await enterProduct(page, { name: 'Granule 70', formulation: 'WG', packSize: '1' });
		await deliver(page, 'Suspension 500', '12');
		await deliver(page, 'Granule 70', '20');
		await test.step('put the sprayer on the books', async () => {
			await page.getByRole('link', { name: 'Sprayers', exact: true }).click();
			await page.getByRole('button', { name: 'Put a sprayer on the books' }).first().click();
			const dialog = page.getByRole('dialog');
			await fill(dialog, { Name: 'Trailed', Tank: '3000', 'Smallest load': '300', 'Water comes in at': '250' });
			await dialog
				.getByRole('button', { name: /books|Save/ })
				.last()
				.click();
			await expect(dialog).toBeHidden();
		});
		// 29.81 ha of one field at 150 L/ha: 4,471.8 L, two loads of a 3,000 L tank.
		const areaHa = (fields.get('F8') ?? 0) / 10_000;
		await test.step('plan the job', async () => {
			await page.getByRole('link', { name: 'Jobs', exact: true }).click();
			await page.getByRole('button', { name: 'Plan a job' }).first().click();
			await pick(page, 'Field', 'Hêtraie');
			await pick(page, 'Product', 'Suspension');
			await fill(page, { 'Dose of Suspension 500': '1.25' });
			await pick(page, 'Another product', 'Granule');
			await fill(page, { 'Dose of Granule 70': '0.4' });
			await fill(page, { 'Spray volume': '150', Reason: 'septoria', Operator: 'A. Marsh' });
			const ways = page.getByRole('table', { name: 'Ways to split the job' });
			await expect(ways).toBeVisible();
			await page.getByRole('button', { name: 'Save the job' }).click();
			await expect(page.getByRole('button', { name: /Log/ }).first()).toBeVisible();
		});
		const job = await savedJob(app);
		await test.step('the plan is what a hand calculation gives', () => {
			expect(job.plan.loads.length).toBe(Math.ceil((areaHa * 150) / 3000));
			const mix = job.plan.loads.reduce((sum, load) => sum + load.newMixL, 0);
			expect(Math.abs(mix - areaHa * 150)).toBeLessThan(0.001);
			for (const load of job.plan.loads) {
				// Water to meter = mix − litres of the suspension − 0.7 L for each kg of granules.
				const [litres = 0, kilograms = 0] = load.products.map(({ amount }) => amount);
				expect(Math.abs(load.waterL - (load.newMixL - litres - 0.7 * kilograms))).toBeLessThan(0.001);
			}
		});
		await test.step('print the card', async () => {
			const pdf = join(app.data, 'card.pdf');
			const printed = await app.call('jobs.printCard', { jobId: job.id, load: 1, path: pdf });
			expect(printed).toMatchObject({ pages: 1 });
			expect(readFileSync(pdf).subarray(0, 5).toString()).toBe('%PDF-');
		});
		for (const load of job.plan.loads) await logAsPlanned(page, job.id, load.load);
		await test.step('the store is drawn to the millilitre', async () => {
			const stock = (await app.call('store.onHand')) as { name: string; amount: number }[];
			for (const [name, delivered, position] of [
				['Suspension 500', 60, 0],
				['Granule 70', 20, 1],
			] as const) {
				const used = job.plan.loads.reduce((sum, load) => sum + (load.products[position]?.amount ?? 0), 0);
				const left = stock.find((line) => line.name === name)?.amount ?? Number.NaN;
				expect(Math.abs(left - (delivered - used))).toBeLessThan(0.0005);
			}
			await page.getByRole('link', { name: 'Store', exact: true }).click();
			await expect(page.getByRole('grid', { name: 'On hand by the book' })).toContainText('opened');
		});
		await test.step('read the spray record', async () => {
			await page.getByRole('link', { name: 'Records', exact: true }).click();
			await expect(page.getByRole('main')).toContainText('Hêtraie');
			await expect(page.getByRole('main')).toContainText('Suspension 500');
			const records = (await app.call('records.list')) as { field: string; amount: number }[];
			expect(records.length).toBe(job.plan.loads.length * 2);
			expect(await app.call('records.verify')).toMatchObject({ ok: true });
		});
		await test.step("read the season's statement", async () => {
			await page.getByRole('link', { name: 'Season', exact: true }).click();
			await expect(page.getByRole('main')).toContainText('Suspension 500');
		});
		expect(errors).toEqual([]);
	} finally {
		await app.close();
	}
});

/** Brings in the boundaries by clicking, and holds every area against GeographicLib. Ground area of each field by its code, m². */
async function importFields(page: Page, app: App): Promise<Map<string, number>> {
	return test.step('bring in the boundaries', async () => {
		await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
		await page.locator('input[type=file]').setInputFiles(join(FIXTURES, 'parcelles.zip'));
		await page.getByRole('button', { name: 'Bring in 8 fields' }).click();
		await page.getByRole('button', { name: 'Go to the register' }).click();
		await expect(page.getByRole('grid', { name: 'Field register' })).toContainText("Côte d'Été");
		const boundaries = (await app.call('fields.boundaries')) as { id: string; geometry: Polygon }[];
		const register = (await app.call('fields.list')) as {
			id: string;
			code: string;
			measuredHa: number;
			mappedHa: number;
		}[];
		const areas = new Map<string, number>();
		for (const { id, code, measuredHa, mappedHa } of register) {
			const geometry = boundaries.find((each) => each.id === id)?.geometry;
			const area = geometry ? areaByGeographicLib(geometry).areaHa * 10_000 : Number.NaN;
			expect(Math.abs(measuredHa * 10_000 - area), code).toBeLessThan(Math.max(1e-5 * area, 0.1));
			expect(mappedHa, code).not.toBeNull();
			areas.set(code, area);
		}
		expect(areas.size).toBe(8);
		return areas;
	});
}

type NewProduct = {
	readonly name: string;
	readonly formulation: string;
	readonly packSize: string;
};

async function enterProduct(page: Page, { name, formulation, packSize }: NewProduct): Promise<void> {
	await test.step(`put ${name} on the books`, async () => {
		await page.getByRole('link', { name: 'Store', exact: true }).click();
		await page.getByRole('link', { name: 'Products', exact: true }).click();
		await page.getByRole('button', { name: 'Put a product on the books' }).first().click();
		const dialog = page.getByRole('dialog');
		await dialog.getByRole('textbox', { name: 'Name', exact: true }).fill(name);
		await pick(dialog, 'Formulation', formulation);
		await dialog.getByRole('textbox', { name: 'Pack sizes' }).fill(packSize);
		await dialog.getByRole('button', { name: 'Put it on the books' }).click();
		await expect(dialog).toBeHidden();
	});
}

async function deliver(page: Page, product: string, packs: string): Promise<void> {
	await test.step(`book a delivery of ${product}`, async () => {
		await page.getByRole('link', { name: 'Store', exact: true }).click();
		await page.getByRole('button', { name: 'Book a delivery' }).first().click();
		const dialog = page.getByRole('dialog');
		await pick(dialog, 'Product', product);
		await dialog.getByRole('textbox', { name: 'Packs', exact: true }).fill(packs);
		await fill(dialog, { 'Delivery note': `DN ${packs}`, 'Received by': 'J. Wren' });
		await dialog.getByRole('button', { name: /^Book \d/ }).click();
		await expect(dialog.getByRole('button', { name: /^Book \d/ })).toBeHidden();
		await page.keyboard.press('Escape');
		await expect(dialog).toBeHidden();
	});
}

type SavedJob = {
	readonly id: string;
	readonly plan: {
		readonly loads: readonly {
			readonly load: number;
			readonly newMixL: number;
			readonly waterL: number;
			readonly products: readonly { readonly amount: number }[];
		}[];
	};
};

async function savedJob(app: App): Promise<SavedJob> {
	const [row] = (await app.call('jobs.list')) as { id: string }[];
	return (await app.call('jobs.get', { id: row?.id })) as SavedJob;
}

/** An ordinary load is logged as planned with the keyboard alone: Enter reads it back, Enter writes it. */
async function logAsPlanned(page: Page, jobId: string, load: number): Promise<void> {
	await test.step(`log load ${load}`, async () => {
		await page.goto(`${page.url().split('#')[0]}#/farm/jobs/${jobId}/${load}/log`);
		await page.getByRole('button', { name: 'Read it back' }).focus();
		await page.keyboard.press('Enter');
		await expect(page.getByRole('dialog')).toBeVisible();
		await page.keyboard.press('Enter');
		await expect(page.getByRole('dialog')).toBeHidden();
		await expect(page.getByRole('main')).toContainText(/left the store|drawn|Logged/i);
	});
}

const REAL = [
	['real/cz-etrs89/GEOPROSTOR_ZADOSTI23_2024-08-01_epsg4258.shp', 'ETRS89'],
	['real/br-formats/lem.geojson', 'WGS 84'],
	['real/si-kml/si_fields.kml', 'WGS 84'],
	['real/us-ca-nad83-zm/ca_crops_nad83.shp', 'NAD83'],
	['real/jecam-wgs84/BD_JECAM_CIRAD_2023_feb.zip', 'WGS 84'],
	['real/dk-utm32/Marker_2026.shp', 'ETRS89'],
] as const;

for (const [file, datum] of REAL) {
	test(`a real register in ${datum} comes in with its reference areas: ${file}`, async () => {
		const path = sharedData(file);
		const reference = sharedData(`${file}.reference.csv`);
		test.skip(path === null || reference === null, 'the real boundary files are not on this machine');
		const app = await startApp();
		try {
			const { added, refused } = (await app.call('fields.import', { path })) as {
				added: { record: number; measuredHa: number }[];
				refused: unknown[];
			};
			const rows = readFileSync(reference ?? '', 'utf8')
				.trim()
				.split('\n');
			const column = (rows[0] ?? '').split(',').indexOf('area_ha');
			const expected = rows.slice(1).map((row) => Number(cells(row)[column]));
			expect(refused).toEqual([]);
			expect(added.length).toBe(expected.length);
			for (const { record, measuredHa } of added) {
				const area = (expected[record - 1] ?? 0) * 10_000;
				expect(Math.abs(measuredHa * 10_000 - area), `record ${record}`).toBeLessThan(Math.max(1e-5 * area, 0.1));
			}
		} finally {
			await app.close();
		}
	});
}

/** One line of a CSV with quoted cells. */
function cells(line: string): string[] {
	return [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((match) => match[1] ?? '');
}
