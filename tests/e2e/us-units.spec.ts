import AxeBuilder from '@axe-core/playwright';
import { expect } from 'playwright/test';
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
	await expect(mapped).toHaveValue('79.9999');
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
