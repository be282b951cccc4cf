import AxeBuilder from '@axe-core/playwright';
import { expect } from 'playwright/test';
import { type App, test } from './app.ts';

/** Two wheat fields sprayed with 1 L/ha of a product that is allowed at 1.25, and 20 L left in sump and lines. */
async function sprayed(app: App): Promise<string> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const season = new Date().getFullYear() + (new Date().getMonth() >= 7 ? 1 : 0);
	const fields: { fieldId: string }[] = [];
	for (const [name, ha] of [
		['Long Piece', 10],
		['Rookery', 5],
	] as const) {
		const fieldId = await id('fields.add', { name, measuredHa: ha, mappedHa: ha });
		await app.call('fields.setCrop', { key: name, id: fieldId, season, crop: 'Winter wheat', eppoCode: 'TRZAW' });
		fields.push({ fieldId });
	}
	const productId = await id('products.add', {
		name: 'Copper flow',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		limits: [
			{ kind: 'crop', crops: ['TRZAW'], source: 'label' },
			{ kind: 'singleDose', max: 1.25, source: 'label' },
		],
	});
	await app.call('store.receive', { key: 's', productId, packSize: 5, packs: 6 });
	const sprayerId = await id('sprayers.add', { name: 'Trailed', capacityL: 4000, minimumL: 200, unsprayableL: 20 });
	const jobId = await id('jobs.add', {
		key: 'job',
		name: 'Wheat, rust',
		sprayerId,
		sprayVolumeLPerHa: 200,
		fields,
		products: [{ productId, dosePerHa: 1 }],
	});
	const startedAt = new Date(Date.now() - 7_200_000).toISOString();
	const finishedAt = new Date(Date.now() - 3_600_000).toISOString();
	await app.call('jobs.logLoad', { key: 'log', jobId, load: 1, startedAt, finishedAt, operator: 'A. Marsh' });
	return jobId;
}

test('washings are held against the doses, logged onto a field, and stand on the job, the diary and the record', async ({
	app,
	page,
}) => {
	const jobId = await sprayed(app);
	await app.open(page, `/farm/jobs/${jobId}`);
	await page.getByRole('button', { name: 'Log washings put onto ground' }).click();
	const form = page.getByRole('dialog');
	await expect(
		form.getByText('300 L go out with 0.100 L Copper flow; what stays inside is then 216 times weaker'),
	).toBeVisible();
	await expect(form.getByText('at least 0.40 ha (Copper flow, single dose)')).toHaveCount(2);
	await form.getByRole('button', { name: 'Log the washings' }).click();
	await expect(form.getByText('Enter on how many hectares they went')).toBeVisible();
	await form.getByLabel('Washings on Long Piece').fill('0.3');
	await expect(form.getByText('too little')).toBeVisible();
	await expect(form.getByText('the label allows 1.25 L/ha')).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	await form.getByLabel('Washings on Long Piece').fill('0.5');
	await expect(form.getByText('enough by the books')).toBeVisible();
	await form.getByLabel('Washings on Long Piece').press('Enter');
	await expect(form.getByText('stand on the spray records and count in the limits')).toBeVisible();
	await form.getByRole('button', { name: 'To the job' }).click();
	const washings = page.getByRole('table', { name: 'Washings put onto ground' });
	await expect(washings.getByText('Long Piece 0.50 ha')).toBeVisible();
	await expect(washings.getByText('300 L sprayed out, of 20 L of mix left')).toBeVisible();

	await page.goto(`${app.origin}/#/farm/records`);
	await expect(page.getByText('1 treatment, 3 lines, 15.00 ha treated')).toBeVisible();
	await expect(page.getByText('Washings: 0.50 ha of Long Piece')).toBeVisible();
	await page.getByRole('button', { name: /Show 3 lines/ }).click();
	await page.getByRole('row').filter({ hasText: '0.199' }).click();
	await expect(page.getByText('washings over 0.50 ha of sprayed ground at 0.199 L/ha')).toBeVisible();

	await page.goto(`${app.origin}/#/farm/jobs/${jobId}`);
	await page.getByRole('button', { name: 'Take back the washings on Long Piece' }).click();
	await page.getByRole('dialog').getByLabel('Why').fill('another field');
	await page.getByRole('dialog').getByRole('button', { name: 'Take it back' }).click();
	await expect(washings.getByText('reversed')).toBeVisible();
});

test('where washings lie is drawn on the map, with the strip they must keep off, and can be looked at again', async ({
	app,
	page,
}) => {
	const jobs = (await app.call('jobs.list')) as { id: string; name: string }[];
	const jobId = jobs.find(({ name }) => name === 'Wheat, rust')?.id ?? (await sprayed(app));
	const [field] = (await app.call('fields.list')) as { id: string; version: number }[];
	const [west, south, east, north] = [10, 50, 10.0044, 50.00285];
	const ring = [
		[west, south],
		[east, south],
		[east, north],
		[west, north],
		[west, south],
	];
	const geometry = { type: 'Polygon', coordinates: [ring] };
	const of = { id: field?.id, version: field?.version };
	await app.call('fields.setBoundary', { key: 'drawn', ...of, geometry, source: 'drawn' });
	const edges = [{ ring: 0, edge: 0 }];
	await app.call('fields.addStrip', { key: 'ditch', id: field?.id, kind: 'strip', label: 'Ditch', widthM: 60, edges });
	await app.open(page, `/farm/jobs/${jobId}`);
	await page.getByRole('button', { name: 'Log washings put onto ground' }).click();
	const form = page.getByRole('dialog');
	await form.getByRole('button', { name: 'Show on the map where on Long Piece' }).click();
	const map = form.getByLabel('Map for drawing the boundary');
	await expect(map.getByText('Ditch')).toBeVisible();
	await map.evaluate((sheet) => sheet.scrollIntoView({ block: 'center' }));
	const box = await map.boundingBox();
	for (const [across, down] of [
		[0.45, 0.86],
		[0.55, 0.86],
		[0.55, 0.5],
		[0.45, 0.5],
	] as const) {
		await page.mouse.click((box?.x ?? 0) + across * (box?.width ?? 0), (box?.y ?? 0) + down * (box?.height ?? 0));
	}
	await form.getByRole('button', { name: 'Close it' }).click();
	await expect(form.getByLabel('Washings on Long Piece')).not.toHaveValue('');
	await expect(form.getByText(/lie on the no-spray strip Ditch: washings must keep off it/)).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	await form.getByRole('button', { name: /Take these/ }).click();
	await form.getByLabel('Wind', { exact: true }).fill('8');
	await form.getByLabel('Wind', { exact: true }).press('Enter');
	await expect(form.getByText('stand on the spray records and count in the limits')).toBeVisible();
	await form.getByRole('button', { name: 'To the job' }).click();
	await page.getByRole('button', { name: 'Show where on Long Piece' }).click();
	await expect(page.getByLabel('Where the washings lie on Long Piece')).toBeVisible();
	await page.keyboard.press('Escape');

	await page.getByRole('button', { name: 'Close the job' }).click();
	const close = page.getByRole('dialog');
	await expect(close.getByRole('textbox', { name: 'Mix left' })).toHaveValue('20');
	await close.getByLabel('Litres sprayed').fill('3300');
	await close.getByRole('button', { name: 'Close the job' }).click();
	await expect(close.getByText('Are they in these readings?')).toBeVisible();
	await close.getByText('Yes: the counters ran on.').click();
	await close.getByRole('button', { name: 'Close the job' }).click();
	await expect(page.getByText('3,300 L, meter 0.0 % against it')).toBeVisible();
});

test('washings of a rest the books do not know are entered once, and the dialog says that they stand', async ({
	app,
	page,
}) => {
	const jobs = (await app.call('jobs.list')) as { id: string; name: string }[];
	if (jobs.length === 0) await sprayed(app);
	const [field] = (await app.call('fields.list')) as { id: string }[];
	const [product] = (await app.call('products.list')) as { id: string }[];
	const { id: sprayerId } = (await app.call('sprayers.add', { name: 'Mounted', capacityL: 1000 })) as { id: string };
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'unfinished',
		name: 'Wheat, unfinished',
		sprayerId,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: field?.id }],
		products: [{ productId: product?.id, dosePerHa: 1 }],
	})) as { id: string };
	const startedAt = new Date(Date.now() - 7_200_000).toISOString();
	const finishedAt = new Date(Date.now() - 3_600_000).toISOString();
	await app.call('jobs.logLoad', { key: 'unfinished-1', jobId, load: 1, startedAt, finishedAt, operator: 'A. Marsh' });
	await app.open(page, `/farm/jobs/${jobId}`);
	await page.getByRole('button', { name: 'Log washings put onto ground' }).click();
	const form = page.getByRole('dialog');
	await form.getByLabel('Mix left').fill('40');
	await form.getByLabel('Washings on Long Piece').fill('1');
	await form.getByRole('button', { name: 'Log the washings' }).click();
	await expect(form.getByText('stand on the spray records and count in the limits')).toBeVisible();
	await page.waitForLoadState('networkidle');
	await expect(form.getByText('stand on the spray records and count in the limits')).toBeVisible();
	await form.getByRole('button', { name: 'To the job' }).click();
	await expect(
		page.getByRole('table', { name: 'Washings put onto ground' }).getByText('Long Piece 1.00 ha'),
	).toHaveCount(1);
});

test('the plan says field by field how much ground washings need', async ({ app, page }) => {
	const jobs = (await app.call('jobs.list')) as { id: string; name: string }[];
	if (jobs.length === 0) await sprayed(app);
	const [field] = (await app.call('fields.list')) as { id: string }[];
	const [product] = (await app.call('products.list')) as { id: string }[];
	const [sprayer] = (await app.call('sprayers.list')) as { id: string }[];
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'planned',
		name: 'Wheat, once more',
		sprayerId: sprayer?.id,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: field?.id }],
		products: [{ productId: product?.id, dosePerHa: 1 }],
	})) as { id: string };
	await app.open(page, `/farm/jobs/${jobId}`);
	await page.getByText('The usual ways out').click();
	await expect(
		page.getByText(/(Long Piece|Rookery): at least \d+\.\d\d ha \(Copper flow, single dose\)/),
	).toBeVisible();
});

test('the mix left that was told when the job was closed is what the washings begin with, also where they were looked at before', async ({
	app,
	page,
}) => {
	if (((await app.call('jobs.list')) as object[]).length === 0) await sprayed(app);
	const first = async (name: string) => ((await app.call(name)) as { id: string }[])[0]?.id;
	const sprayers = (await app.call('sprayers.list')) as { id: string; name: string }[];
	const job = {
		...{ key: 'closed', name: 'Wheat, rust again', sprayVolumeLPerHa: 200 },
		sprayerId: sprayers.find(({ name }) => name === 'Trailed')?.id,
		fields: [{ fieldId: await first('fields.list'), areaHa: 2 }],
		products: [{ productId: await first('products.list'), dosePerHa: 0.2 }],
	};
	const { id: jobId } = (await app.call('jobs.add', job)) as { id: string };
	const now = { startedAt: new Date(Date.now() - 600_000).toISOString(), finishedAt: new Date().toISOString() };
	await app.call('jobs.logLoad', { key: 'log again', jobId, load: 1, ...now, operator: 'A. Marsh' });
	await app.open(page, `/farm/jobs/${jobId}`);
	const form = page.getByRole('dialog');
	await page.getByRole('button', { name: 'Log washings put onto ground' }).click();
	await expect(form.getByRole('textbox', { name: 'Mix left' })).toHaveValue('20');
	await form.getByRole('button', { name: 'Leave it' }).click();
	await page.getByRole('button', { name: 'Close the job' }).click();
	await form.getByRole('textbox', { name: 'Mix left' }).fill('35');
	await form.getByRole('button', { name: 'Close the job' }).click();
	await expect(page.getByText('The job is closed.')).toBeVisible();
	await page.getByRole('button', { name: 'Log washings put onto ground' }).click();
	await expect(form.getByRole('textbox', { name: 'Mix left' })).toHaveValue('35');
});
