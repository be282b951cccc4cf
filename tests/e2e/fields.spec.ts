import { readFile } from 'node:fs/promises';
import { expect, type Page } from 'playwright/test';
import { seasonOf } from '../../shared/basics/calendar.ts';
import { test } from './app.ts';

type Row = { readonly id: string; readonly name: string; readonly measuredHa: number | null };

/** An invented field of some 9.8 ha. */
const geometry = {
	type: 'Polygon',
	coordinates: [
		[
			[0.1, 52.1],
			[0.1, 52.1028],
			[0.1046, 52.1028],
			[0.1046, 52.1],
			[0.1, 52.1],
		],
	],
};

test.beforeAll(async ({ app }) => {
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	await app.call('fields.add', { key: 'mill', name: 'Mill Piece', mappedHa: 9.7, geometry });
});

/** Waits for the map a boundary is drawn on; presses on it by shares of its width and height. */
async function drawingMap(page: Page) {
	const map = page.getByRole('region', { name: 'Map for drawing the boundary' });
	await expect(map.getByText('Mill Piece')).toBeVisible();
	const box = await map.boundingBox();
	if (!box) throw new Error('no map');
	const at = (x: number, y: number) => page.mouse.click(box.x + box.width * x, box.y + box.height * y);
	return { map, at };
}

test('draws a new field on the map, beside those there are', async ({ app, page }) => {
	await app.open(page, '/farm/fields/draw');
	const { at } = await drawingMap(page);
	await at(0.05, 0.2);
	await at(0.12, 0.2);
	await at(0.12, 0.6);
	await page.getByRole('button', { name: 'First point: press to close the boundary' }).click();
	await expect(page.locator('.big-figure')).toContainText('ha');
	await page.getByLabel('Name').fill('Corner');
	await page.getByRole('button', { name: 'Add the field' }).click();
	await expect(page.getByRole('heading', { level: 1, name: 'Corner' })).toBeVisible();
	const rows = (await app.call('fields.list')) as Row[];
	expect(rows.find(({ name }) => name === 'Corner')?.measuredHa).toBeGreaterThan(0);
});

test('what was drawn is still there after a reload, and is gone on with or thrown away', async ({ app, page }) => {
	await app.open(page, '/farm/fields/draw');
	const { map, at } = await drawingMap(page);
	await at(0.05, 0.7);
	await at(0.12, 0.7);
	await at(0.12, 0.9);
	const first = page.getByRole('button', { name: 'First point: press to close the boundary' });
	await expect(first).toBeVisible();
	await page.reload();
	const kept = page.getByRole('status').filter({ hasText: 'What you had drawn is still here' });
	await expect(kept).toBeVisible();
	await first.click();
	await expect(page.locator('.big-figure')).toContainText('ha');
	await page.getByRole('button', { name: 'Undo' }).click();
	await kept.getByRole('button', { name: 'Begin anew' }).click();
	await expect(first).toBeHidden();
	await expect(kept).toBeHidden();
	await page.reload();
	await expect(map.getByText('Mill Piece')).toBeVisible();
	await expect(kept).toBeHidden();
	// Left on purpose, nothing is kept either.
	await at(0.05, 0.7);
	await page.getByRole('button', { name: 'Leave it' }).click();
	await app.open(page, '/farm/fields/draw');
	await expect(map.getByText('Mill Piece')).toBeVisible();
	await expect(kept).toBeHidden();
});

test('mends a boundary with the keyboard alone; the one before stays in the history', async ({ app, page }) => {
	const rows = (await app.call('fields.list')) as Row[];
	const mill = rows.find(({ name }) => name === 'Mill Piece');
	await app.open(page, `/farm/fields/${mill?.id}/boundary`);
	await page.getByRole('button', { name: /^Point 2 of 4/ }).focus();
	for (let press = 0; press < 4; press++) await page.keyboard.press('Shift+ArrowUp');
	await page.keyboard.press('Insert');
	await expect(page.getByRole('button', { name: /^Point 2 of 5/ })).toBeFocused();
	await page.getByRole('button', { name: 'Undo' }).click();
	await page.getByRole('button', { name: 'Put it in force' }).click();
	await expect(page.getByRole('heading', { level: 1, name: 'Mill Piece' })).toBeVisible();
	const detail = (await app.call('fields.get', { id: mill?.id })) as {
		readonly field: Row;
		readonly measurements: readonly { readonly source: string }[];
	};
	expect(detail.measurements.map(({ source }) => source)).toEqual(['drawn on the map', 'entered by hand']);
	expect(detail.field.measuredHa).toBeGreaterThan((mill?.measuredHa ?? 0) + 0.2);
});

test('draws a pond and a round tree on a field; they come off the area to load for', async ({ app, page }) => {
	const rows = (await app.call('fields.list')) as Row[];
	const mill = rows.find(({ name }) => name === 'Mill Piece');
	await app.open(page, `/farm/fields/${mill?.id}`);
	await page.getByRole('button', { name: 'Draw an obstacle' }).click();
	const map = page.getByRole('region', { name: 'Map for drawing the boundary' });
	await expect(map.getByText('Mill Piece')).toBeVisible();
	const box = await map.boundingBox();
	if (!box) throw new Error('no map');
	const press = (across: number, down: number) =>
		page.mouse.click(box.x + box.width * across, box.y + box.height * down);
	await press(0.4, 0.4);
	await press(0.45, 0.4);
	await press(0.45, 0.45);
	await page.getByRole('button', { name: 'Close it' }).click();
	await expect(page.getByText('left to load for')).toBeVisible();
	await page.getByText('Round, by its width').click();
	await page.getByRole('textbox', { name: 'Width' }).fill('20');
	await press(0.6, 0.6);
	await page.getByLabel('Name').fill('Pond and oak');
	await page.getByRole('button', { name: 'Note it as not sprayed' }).click();
	await expect(page.getByRole('table', { name: 'Strips and obstacles' })).toContainText('Pond and oak');
	await expect(page.getByText('obstacle', { exact: true }).first()).toBeVisible();
	const detail = (await app.call('fields.get', { id: mill?.id })) as {
		field: { measuredHa: number; loadForHa: number };
		strips: { areaHa: number; geometry: { type: string; coordinates: unknown[] } }[];
	};
	expect(detail.strips[0]?.geometry).toMatchObject({ type: 'MultiPolygon' });
	expect(detail.strips[0]?.geometry.coordinates).toHaveLength(2);
	const leftOut = detail.field.measuredHa - detail.field.loadForHa;
	expect(leftOut).toBeCloseTo(detail.strips[0]?.areaHa ?? 0, 9);
	// A circle of 20 m across has 314 m²; the pond comes on top.
	expect(leftOut).toBeGreaterThan(0.0314);
});

test('lays a strip along a side pressed on the map, less one edge; its ground is known before it is saved', async ({
	app,
	page,
}) => {
	const rows = (await app.call('fields.list')) as Row[];
	const mill = rows.find(({ name }) => name === 'Mill Piece');
	await app.open(page, `/farm/fields/${mill?.id}`);
	await page.getByRole('button', { name: 'Lay a strip' }).click();
	await page.getByRole('textbox', { name: 'Width' }).fill('6');
	const map = page.getByRole('region', { name: /^Map for picking edges/ });
	const side = map.getByText('A', { exact: true });
	await expect(side).toBeVisible();
	const box = await side.boundingBox();
	if (!box) throw new Error('no side');
	await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
	const ticked = page.getByRole('checkbox', { name: /^A · / });
	await expect(ticked).toBeChecked();
	const figure = page.locator('.big-figure');
	await expect(figure).toContainText('m²');
	const whole = Number(((await figure.textContent()) ?? '').replace(/\D/g, ''));
	await page.getByText('Single edges').click();
	await page.getByRole('checkbox', { checked: true }).first().click();
	await page.getByText('Whole sides').click();
	await ticked.click();
	await expect(figure).toContainText(whole.toLocaleString('en-GB'));
	const name = await page.getByLabel('Name').inputValue();
	expect(name).toMatch(/^6 m on the /);
	await page.getByRole('button', { name: 'Note it as not sprayed' }).click();
	await expect(page.getByRole('table', { name: 'Strips and obstacles' })).toContainText('strip, 6 m wide');
	const detail = (await app.call('fields.get', { id: mill?.id })) as {
		strips: { label: string; areaHa: number; geometry: unknown }[];
	};
	const strip = detail.strips.find(({ label }) => label === name);
	expect(strip?.geometry).not.toBeNull();
	expect(Math.round((strip?.areaHa ?? 0) * 10_000)).toBe(whole);
});

test('a field in an open job is not split, and says so before a line is drawn', async ({ app, page }) => {
	const rows = (await app.call('fields.list')) as Row[];
	const mill = rows.find(({ name }) => name === 'Mill Piece');
	const { id: productId } = (await app.call('products.add', {
		name: 'Suspension',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
	})) as { id: string };
	const { id: sprayerId } = (await app.call('sprayers.add', {
		name: 'Trailed',
		capacityL: 3000,
		minimumL: 300,
	})) as { id: string };
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'open',
		name: 'Spring pass',
		sprayerId,
		date: '2026-04-01',
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: mill?.id }],
		products: [{ productId, dosePerHa: 1 }],
	})) as { id: string };
	await app.open(page, `/farm/fields/${mill?.id}`);
	await expect(page.getByRole('button', { name: 'Split' })).toBeDisabled();
	await expect(page.getByText('In the open job “Spring pass”')).toBeVisible();
	await app.open(page, `/farm/fields/${mill?.id}/split`);
	await expect(page.getByText('In the open job “Spring pass”')).toBeVisible();
	await app.call('jobs.remove', { key: 'off', id: jobId, why: 'too windy' });
});

test('splits a field along a line; the parts stand in the register and know where they came from', async ({
	app,
	page,
}) => {
	const rows = (await app.call('fields.list')) as Row[];
	const mill = rows.find(({ name }) => name === 'Mill Piece');
	await app.open(page, `/farm/fields/${mill?.id}/split`);
	const map = page.getByRole('region', { name: 'Map for drawing the boundary' });
	await expect(map).toBeVisible();
	await page.waitForTimeout(500);
	const box = await map.boundingBox();
	if (!box) throw new Error('no map');
	await page.mouse.click(box.x + box.width * 0.45, box.y + box.height * 0.03);
	await page.mouse.click(box.x + box.width * 0.45, box.y + box.height * 0.97);
	await expect(page.getByLabel(/^Part 2/)).toHaveValue('Mill Piece 2');
	await page.getByRole('button', { name: 'Split the field' }).click();
	await expect(page.getByText('no jobs are planned on it any more')).toBeVisible();
	await page.getByRole('link', { name: 'Mill Piece 2' }).click();
	await expect(page.getByText('Split from')).toBeVisible();
	const left = (await app.call('fields.list')) as Row[];
	expect(left.map(({ name }) => name)).toEqual(['Corner', 'Mill Piece 1', 'Mill Piece 2']);
});

test('a gap between two fields is told before they are merged', async ({ app, page }) => {
	// 0.0001° at 52° N are 6.9 m, the fields are 311 m long.
	const shifted = geometry.coordinates.map((ring) => ring.map(([lon, lat]) => [Number(lon) + 0.3, Number(lat)]));
	const beside = geometry.coordinates.map((ring) => ring.map(([lon, lat]) => [Number(lon) + 0.3047, Number(lat)]));
	const piece = (key: string, name: string, coordinates: unknown) =>
		app.call('fields.add', { key, name, geometry: { type: 'Polygon', coordinates } }) as Promise<{ id: string }>;
	const { id } = await piece('lane west', 'Lane West', shifted);
	await piece('lane east', 'Lane East', beside);
	await app.open(page, `/farm/fields/${id}`);
	await page.getByRole('button', { name: 'Merge' }).click();
	const dialog = page.getByRole('dialog');
	await dialog.getByRole('combobox', { name: 'With' }).fill('Lane East');
	await page.keyboard.press('Enter');
	await expect(dialog.getByRole('status')).toHaveText(
		'LookThese fields touch nowhere: a gap of about 0.21 ha lies between them, 6.9 m at its narrowest. The merged field has 2 parts, and what lies between is no part of it.',
	);
	await dialog.getByRole('button', { name: 'Leave it' }).click();
});

test('what was entered for next season stands in view at once, with what was left', async ({ app, page }) => {
	const { id } = ((await app.call('fields.list')) as Row[]).find(({ name }) => name === 'Lane West') ?? { id: '' };
	const { seasonStartMonth } = (await app.call('settings.get')) as { readonly seasonStartMonth: number };
	const season = seasonOf(new Date().toISOString().slice(0, 10), seasonStartMonth);
	// So many crops that the form is longer than the window.
	for (const crop of [
		'Oats',
		'Rye',
		'Triticale',
		'Linseed',
		'Spring barley',
		'Maize',
		'Potatoes',
		'Carrots',
		'Onions',
	]) {
		const grown = (await app.call('fields.add', { key: crop, name: `${crop} Piece`, mappedHa: 3 })) as Row;
		await app.call('fields.setCrop', { key: `on ${crop}`, id: grown.id, season, crop });
	}
	await app.call('fields.setCrop', { key: 'wheat', id, season, crop: 'Winter wheat' });
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Next season’s crops' }).click();
	const dialog = page.getByRole('dialog');
	await dialog.getByRole('combobox', { name: 'After Winter wheat' }).fill('Rye');
	await page.keyboard.press('Tab');
	await dialog.getByRole('button', { name: `Enter for harvest ${season + 1}` }).click();
	await expect(dialog.getByRole('status')).toContainText(`Harvest ${season + 1}: 1 field entered`);
	await expect(dialog.getByRole('status')).toBeInViewport({ ratio: 1 });
	await expect(dialog.getByRole('row', { name: /^Winter wheat Rye 1/ })).toBeInViewport();
	await expect(dialog.getByRole('row', { name: /^Oats – – 1/ })).toBeVisible();
	await expect(dialog.getByRole('button', { name: 'Done' })).toBeFocused();
	await page.keyboard.press('Enter');
	await expect(dialog).toBeHidden();
});

test('prints the map to scale, in the colouring that is shown', async ({ app, page }) => {
	await app.open(page, '/farm/fields');
	await page.getByText('By difference').click();
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Print the map' }).click();
	const file = await download;
	expect(file.suggestedFilename()).toMatch(/^[\d-]+ fields by difference\.pdf$/);
	expect((await readFile(await file.path())).subarray(0, 5).toString()).toBe('%PDF-');
});

test('takes the register out as task data', async ({ app, page }) => {
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Export', exact: true }).click();
	await page.getByRole('radio', { name: /task data/ }).check();
	const download = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Write the file' }).click();
	expect((await download).suggestedFilename()).toMatch(/^Fields task data .*\.zip$/);
});
