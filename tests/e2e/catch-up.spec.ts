import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from 'playwright/test';
import { type App, test } from './app.ts';

type Books = { readonly jobId: string; readonly code: string };

/** One job of two loads, 20 ha and 10 ha: a suspension in two batches, and a solution. */
async function layBooks(app: App): Promise<Books> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const fieldId = await id('fields.add', { name: 'Long Piece', measuredHa: 30, mappedHa: 30 });
	const liquid = { unit: 'L', packSizes: [5] };
	const suspension = await id('products.add', { name: 'Suspension', formulation: 'SC', ...liquid });
	const solution = await id('products.add', { name: 'Solution', formulation: 'SL', ...liquid });
	const delivered = { packSize: 5, date: '2026-03-01' };
	for (const [key, productId, packs, batch] of [
		['a', suspension, 4, 'A-17'],
		['b', suspension, 8, 'B-04'],
		['c', solution, 4, 'S-1'],
	])
		await app.call('store.receive', { key, productId, packs, batch, ...delivered });
	const sprayerId = await id('sprayers.add', { name: 'Trailed', capacityL: 2000, minimumL: 200 });
	const jobId = await id('jobs.add', {
		key: 'job',
		name: 'Wheat, T1',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [
			{ productId: suspension, dosePerHa: 1 },
			{ productId: solution, dosePerHa: 1 },
		],
		strategy: 'full',
		date: '2026-04-15',
		operator: 'A. Marsh',
	});
	const { code } = (await app.call('jobs.card', { jobId, load: 1 })) as { code: string };
	return { jobId, code: code.replace(/-\d+$/, '') };
}

const row = (page: Page, at: number) => page.locator('.card-row').nth(at);

test('paper cards are keyed by keyboard alone and logged in order of time; a wrong one stays with its reason', async ({
	app,
	page,
}) => {
	const { jobId, code } = await layBooks(app);
	const press = (...keys: string[]) =>
		keys.reduce((before, key) => before.then(() => page.keyboard.press(key)), Promise.resolve());
	await app.open(page, '/farm/jobs');
	await page.getByRole('button', { name: 'Several cards at once' }).press('Enter');
	await expect(row(page, 0).getByLabel('Code')).toBeFocused();

	await test.step('the second load first: its batch is written wrongly', async () => {
		await page.keyboard.type(`${code.toLowerCase()}-2`);
		await press('Enter');
		await expect(row(page, 0)).toContainText('Wheat, T1');
		await expect(row(page, 0)).toContainText('load 2 of 2, ends with Long Piece');
		await expect(row(page, 0)).toContainText('as planned, not confirmed');
		await page.keyboard.type('0930');
		await press('Enter');
		await page.keyboard.type('1015');
		await press('Enter', 'Enter', 'Enter');
		await expect(row(page, 0).getByLabel('Metered water')).toBeFocused();
		await page.keyboard.type('985');
		await press('Enter', 'Enter');
		await page.keyboard.type('10.2');
		await press('Enter');
		await page.keyboard.type('A-71');
		await expect(row(page, 0)).toContainText('not confirmed: Solution');
		await press('Control+Enter');
	});
	await test.step('then the first load, ticked off, and a code that is no card', async () => {
		await page.keyboard.type(`${code}-1`);
		await press('Enter');
		await expect(row(page, 1)).toContainText('load 1 of 2');
		await page.keyboard.type('0710');
		await press('Enter');
		await page.keyboard.type('0840');
		await press('Enter', 'Enter', 'Enter', 'Enter');
		await press('Space');
		await expect(row(page, 1)).not.toContainText('not confirmed');
		await press('Control+Enter');
		await page.keyboard.type('QQQQQ-1');
		await press('Control+Enter');
		await expect(row(page, 2)).toContainText('No load card carries the code QQQQQ-1.');
	});
	await test.step('one save: 20 L of the solution run short for the second load, the first is kept', async () => {
		await press('Enter');
		await expect(page.getByRole('button', { name: 'Log 3 loads' })).toBeFocused();
		await press('Enter');
		await expect(page.getByRole('status')).toContainText('1 load logged');
		await expect(row(page, 0)).toContainText('The store book holds');
	});
	const logs = async () =>
		((await app.call('jobs.get', { id: jobId })) as { logs: Log[] }).logs.map(({ load, confirmed, startedAt }) => ({
			load,
			confirmed,
			startedAt,
		}));
	const first = { load: 1, confirmed: true, startedAt: '2026-04-15T07:10:00+02:00' };
	expect(await logs()).toEqual([first]);

	await test.step('the delivery is posted; now the batch is asked back, put right, and logged', async () => {
		const stock = (await app.call('store.onHand')) as { name: string; productId: string }[];
		const productId = stock.find(({ name }) => name === 'Solution')?.productId;
		await app.call('store.receive', {
			key: 'late',
			productId,
			packSize: 5,
			packs: 4,
			batch: 'S-2',
			date: '2026-03-20',
		});
		await page.getByRole('button', { name: 'Log 2 loads' }).press('Enter');
		await expect(row(page, 0)).toContainText('Of batch A-71 of Suspension the store book holds 0 L');
		await expect(row(page, 0)).toContainText('Batches on the shelf: B-04');
		await row(page, 0).getByLabel('Batches of Suspension').fill('B-04');
		await page.getByRole('button', { name: 'Log 2 loads' }).press('Enter');
		await expect(page.getByRole('status')).toContainText('2 loads logged');
	});
	const second = { load: 2, confirmed: false, startedAt: '2026-04-15T09:30:00+02:00' };
	expect(await logs()).toEqual([first, second]);
	await expect(page.getByRole('status')).toContainText('not confirmed: Solution');
	await expect(row(page, 0)).toContainText('No load card carries the code QQQQQ-1.');

	await test.step('a card that is logged already says so at once', async () => {
		await row(page, 0).getByLabel('Code').fill(`${code}-1`);
		await row(page, 0).getByLabel('Code').press('Enter');
		await expect(row(page, 0)).toContainText('Load 1 of Wheat, T1 is logged already.');
	});
	for (const colorScheme of ['light', 'dark'] as const) {
		await page.emulateMedia({ colorScheme });
		expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	}
});

/** Two jobs, one of two loads, with a product whose label asks for 5 m to water, and one without. */
async function layAtWater(app: App): Promise<{ near: string; far: string; codes: string[] }> {
	await app.call('settings.save', { key: 'uk', farmName: 'Owl Farm', operator: 'A. Marsh', ruleSet: 'uk-code' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const fieldId = await id('fields.add', { key: 'brook', name: 'Brook Piece', measuredHa: 30 });
	const liquid = { formulation: 'SC', unit: 'L', packSizes: [5] };
	const limits = [
		{ kind: 'buffer', min: 5, reducible: true },
		{ kind: 'singleDose', max: 2 },
	];
	const asking = await id('products.add', { key: 'asking', name: 'Asking', ...liquid, limits });
	const free = await id('products.add', { key: 'free', name: 'Free', ...liquid });
	for (const productId of [asking, free])
		await app.call('store.receive', { key: productId, productId, packSize: 5, packs: 20, date: '2026-03-01' });
	const sprayerId = await id('sprayers.add', {
		...{ key: 'sprayer', name: 'At water', capacityL: 2000, minimumL: 200 },
		...{ nozzle: '03 air', driftReduction: 75, pressureBar: 2.5 },
	});
	const job = {
		...{ sprayerId, sprayVolumeLPerHa: 100, strategy: 'full', date: '2026-05-15', fields: [{ fieldId }] },
		...{ growthStage: '31', reason: 'rust' },
	};
	const near = await id('jobs.add', {
		...job,
		key: 'near',
		name: 'Near',
		products: [{ productId: asking, dosePerHa: 0.5 }],
	});
	const far = await id('jobs.add', {
		...job,
		key: 'far',
		name: 'Far',
		products: [{ productId: free, dosePerHa: 0.5 }],
	});
	const code = async (jobId: string, load: number) =>
		((await app.call('jobs.card', { jobId, load })) as { code: string }).code;
	return { near, far, codes: [await code(far, 1), await code(near, 1), await code(near, 2)] };
}

test('the margins are asked of the cards whose labels ask, once a job; what was not answered is missing on the record', async ({
	app,
	page,
}) => {
	const { near, codes } = await layAtWater(app);
	const key = async (at: number, code: string, [began, ended]: readonly [string, string]) => {
		await row(page, at).getByLabel('Code').fill(code);
		await row(page, at).getByLabel('Code').press('Enter');
		await row(page, at).getByLabel('Began').fill(began);
		await row(page, at).getByLabel('Ended').fill(ended);
		await expect(row(page, at).getByText('as planned, not confirmed')).toBeVisible();
	};
	await app.open(page, '/farm/jobs/cards');
	await key(0, codes[0] ?? '', ['07:10', '08:00']);
	await expect(row(page, 0).getByRole('group', { name: 'Buffer kept' })).toHaveCount(0);
	await key(1, codes[1] ?? '', ['08:10', '09:00']);
	const asked = row(page, 1).getByRole('group', { name: 'Buffer kept' });
	await expect(asked).toContainText('Keep 5 m from water.');
	await expect(asked.getByRole('combobox', { name: 'Less drift' })).toHaveValue('75 %');
	await expect(asked.getByRole('textbox', { name: 'Pressure' })).toHaveValue('2.5');
	await test.step('Enter on a choice that stands goes on and leaves it; emptied it is taken back', async () => {
		const drift = asked.getByRole('combobox', { name: 'Less drift' });
		await drift.focus();
		await page.keyboard.press('Enter');
		await expect(asked.getByRole('textbox', { name: 'Pressure' })).toBeFocused();
		await expect(drift).toHaveValue('75 %');
		await page.keyboard.press('Shift+Tab');
		await page.keyboard.press('Control+a');
		await page.keyboard.press('Backspace');
		await page.keyboard.press('Tab');
		await expect(drift).toHaveValue('');
		await drift.fill('75');
		await expect(page.getByRole('option')).toHaveText(['75 %']);
		await drift.press('Enter');
		await expect(drift).toHaveValue('75 %');
		await asked.getByRole('button', { name: 'Take off margin' }).click();
	});

	await test.step('logged without an answer it says so, and the record lacks it', async () => {
		await page.getByRole('button', { name: 'Log 2 loads' }).click();
		await expect(page.getByRole('status')).toContainText('2 loads logged');
		await expect(page.getByRole('listitem').filter({ hasText: 'Near' })).toContainText('buffer not answered');
		await expect(page.getByRole('listitem').filter({ hasText: 'Far' })).not.toContainText('buffer not answered');
		const lines = (await app.call('records.list', { jobId: near })) as { missing: string[] }[];
		expect(lines.map(({ missing }) => missing.includes('buffer assessment'))).toEqual([true]);
		await app.call('jobs.reverseLoad', { key: 'back', jobId: near, load: 1, why: 'to be keyed again', by: 'A. Marsh' });
	});
	await test.step('what was begun is to be finished; the second load of the job has it from the first', async () => {
		await key(0, codes[1] ?? '', ['08:10', '09:00']);
		await key(1, codes[2] ?? '', ['09:10', '10:00']);
		const first = row(page, 0).getByRole('group', { name: 'Buffer kept' });
		const second = row(page, 1).getByRole('group', { name: 'Buffer kept' });
		await first.getByRole('textbox', { name: 'Which' }).fill('brook');
		await page.getByRole('button', { name: 'Log 2 loads' }).click();
		await expect(row(page, 0)).toBeVisible();
		await first.getByRole('combobox', { name: 'Water', exact: true }).click();
		await page.getByRole('option', { name: 'Wet' }).click();
		await first.getByRole('combobox', { name: 'Water width' }).click();
		await page.getByRole('option', { name: '< 3 m' }).click();
		await first.getByRole('textbox', { name: 'Kept' }).fill('1');
		await expect(second).toContainText('As for the load before: brook: wet, under 3 m wide');
		for (const colorScheme of ['light', 'dark'] as const) {
			await page.emulateMedia({ colorScheme });
			expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
		}
		await page.getByRole('button', { name: 'Log 2 loads' }).click();
		await expect(page.getByRole('status')).toContainText('4 loads logged');
	});
	const lines = (await app.call('records.list', { jobId: near })) as Kept[];
	const margin = {
		margin: 'brook',
		water: 'wet',
		width: 'under 3 m',
		driftReduction: 75,
		pressureFromBar: 2.5,
		keptM: 1,
	};
	expect(lines.map(({ load, assessed }) => [load, assessed?.margins]).sort()).toEqual([
		[1, [{ ...margin, by: 'A. Marsh' }]],
		[2, [{ ...margin, by: 'A. Marsh' }]],
	]);
	expect(lines.flatMap(({ missing }) => missing)).not.toContain('buffer assessment');
});

type Kept = {
	readonly load: number;
	readonly missing: string[];
	readonly assessed: { readonly margins: object[] } | null;
};
type Log = { readonly load: number; readonly confirmed: boolean; readonly startedAt: string };
