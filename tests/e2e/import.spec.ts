import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect } from 'playwright/test';
import { test } from './app.ts';

type Corner = readonly [lon: number, lat: number];
type Row = { readonly id: string; readonly name: string; readonly measuredHa: number | null };

const folder = mkdtempSync(join(tmpdir(), 'fillmark-import-'));

/** A file of invented fields. */
function file(
	name: string,
	fields: readonly { readonly corners: readonly Corner[]; readonly [column: string]: unknown }[],
) {
	const path = join(folder, name);
	const features = fields.map(({ corners, ...properties }) => {
		const geometry = { type: 'Polygon', coordinates: [[...corners, ...corners.slice(0, 1)]] };
		return { type: 'Feature', properties, geometry };
	});
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features }));
	return path;
}

function rectangle(west: number, east: number, north = 52.1028): Corner[] {
	return [
		[west, 52.1],
		[west, north],
		[east, north],
		[east, 52.1],
	];
}

/** With a spike of some 70 m out of the eastern side. */
const spiked: Corner[] = [
	...rectangle(0.1, 0.1046).slice(0, 3),
	[0.1046, 52.101202],
	[0.1056, 52.101201],
	[0.1046, 52.1012],
	[0.1046, 52.1],
];

test.afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('a repair is offered with its m², made where chosen, and stands in the field’s history', async ({ app, page }) => {
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	const path = file('spring.geojson', [
		{ name: 'Mill Piece', crop: 'Winter wheat', corners: spiked },
		{ name: 'Long Ground', crop: 'Oilseed rape', corners: rectangle(0.11, 0.116) },
	]);
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
	await page.getByLabel('Choose the boundary file').setInputFiles(path);
	const repair = page.getByRole('checkbox', { name: /^Mill Piece \(record 1\): a spike cut off/ });
	await expect(repair).not.toBeChecked();
	await expect(page.getByText(/98,\d{3} m² → 98,\d{3} m² \(−7\.\d m²\)/)).toBeVisible();
	await expect(page.getByText('as it would be with its repair')).toBeVisible();
	await repair.check();
	await expect(page.getByText('as it would be with its repair')).toBeHidden();
	await expect(page.getByRole('combobox', { name: 'Crops from' })).toHaveValue(/^crop/);
	await page.getByRole('button', { name: 'Bring in 2 fields' }).click();
	await page.getByRole('button', { name: 'Go to the register' }).click();
	const mill = ((await app.call('fields.list')) as Row[]).find(({ name }) => name === 'Mill Piece');
	await app.open(page, `/farm/fields/${mill?.id}`);
	await expect(page.getByText(/spring\.geojson; repaired: a spike cut off; 98,\d{3} m² before/).first()).toBeVisible();
});

test('a changed file shows the areas side by side, and a namesake far away is not taken for the field', async ({
	app,
	page,
}) => {
	const far = rectangle(1.11, 1.116);
	const path = file('summer.geojson', [
		{ name: 'Mill Piece', corners: rectangle(0.1, 0.1046, 52.103) },
		{ name: 'Long Ground', corners: far },
	]);
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
	await page.getByLabel('Choose the boundary file').setInputFiles(path);
	const row = page.getByRole('row').filter({ hasText: 'known by name' });
	await expect(row).toContainText('10.529.82');
	await expect(row).toContainText('+0.70');
	await expect(page.getByText('known: until now')).toBeVisible();
	const far69 = page.getByRole('checkbox', { name: /^Long Ground \(record 2\) lies 69 km from Long Ground/ });
	await expect(far69).not.toBeChecked();
	await expect(page.getByText('1 new field, 1 field known already.')).toBeVisible();
	await far69.check();
	await expect(page.getByText('2 fields known already.')).toBeVisible();
});

test('swapped coordinates are exchanged where a person says so, and the field’s history tells it', async ({
	app,
	page,
}) => {
	const path = file('swapped.geojson', [
		{ name: 'Fen End', crop: 'TRZAW', corners: rectangle(0.2, 0.206).map(([lon, lat]): Corner => [lat, lon]) },
	]);
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
	await page.getByLabel('Choose the boundary file').setInputFiles(path);
	await expect(page.getByText('Are longitude and latitude swapped in the file?')).toBeVisible();
	await expect(page.getByRole('radio', { name: /^As they stand in the file.*0\.203° N, 52\.101° E/ })).toBeChecked();
	await page.getByRole('radio', { name: /^With longitude and latitude exchanged.*52\.101° N, 0\.203° E/ }).click();
	await expect(page.getByRole('row').filter({ hasText: 'Fen End' })).toContainText('Winter wheat (TRZAW)');
	await page.getByRole('button', { name: 'Bring in 1 field' }).click();
	await page.getByRole('button', { name: 'Go to the register' }).click();
	const fen = ((await app.call('fields.list')) as Row[]).find(({ name }) => name === 'Fen End');
	await app.open(page, `/farm/fields/${fen?.id}`);
	await expect(page.getByText(/swapped\.geojson; repaired: longitude and latitude exchanged; /).first()).toBeVisible();
});

test('what a file says of its reference system can be doubted; nothing changes until one is chosen', async ({
	app,
	page,
}) => {
	const path = file('doubted.geojson', [{ name: 'Nook', corners: rectangle(0.3, 0.306) }]);
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	await app.open(page, '/farm/fields');
	await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
	await page.getByLabel('Choose the boundary file').setInputFiles(path);
	await page.getByRole('button', { name: 'The coordinates are in another system' }).click();
	await expect(page.getByText('doubted.geojson says its coordinates are in WGS 84.')).toBeVisible();
	const other = page.getByRole('radio', { name: /^OSGB36.*centre at 52\.10\d° N.* ha$/ });
	await expect(page.getByRole('radio', { name: /^WGS 84.*as the file says/ })).not.toBeChecked();
	await expect(other).toBeVisible();
	await page.getByRole('button', { name: 'Keep what the file says' }).click();
	await expect(page.getByText('WGS 84 (EPSG:4326)')).toBeVisible();
	await page.getByRole('button', { name: 'The coordinates are in another system' }).click();
	await other.click();
	await expect(page.getByText(/^OSGB36.*shifted by/)).toBeVisible();
	await expect(page.getByRole('button', { name: 'Bring in 1 field' })).toBeEnabled();
});

test('Escape leaves a file that was only looked at, and one that was answered goes to the closing cross first', async ({
	app,
	page,
}) => {
	const path = file('left.geojson', [{ name: 'Left Alone', corners: rectangle(0.4, 0.406), Area: 20 }]);
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	await app.open(page, '/farm/fields');
	const dialog = page.getByRole('dialog');
	const look = async () => {
		await page.getByRole('button', { name: 'Bring in boundaries' }).first().click();
		await page.getByLabel('Choose the boundary file').setInputFiles(path);
		await expect(dialog.getByText('1 new field.')).toBeVisible();
	};
	await look();
	await page.keyboard.press('Escape');
	await expect(dialog).toBeHidden();
	await look();
	await dialog.getByRole('combobox', { name: 'Mapped area from' }).click();
	await page.keyboard.type('Ar');
	await page.keyboard.press('Enter');
	await expect(dialog.getByRole('radio', { name: /^acres/ })).toBeVisible();
	await expect(dialog.getByText('8.09 ha').first()).toBeVisible();
	await page.keyboard.press('Escape');
	await expect(dialog.getByRole('button', { name: 'Close' })).toBeFocused();
	await page.keyboard.press('Escape');
	await expect(dialog).toBeHidden();
});
