import { expect, type Page } from 'playwright/test';
import { test } from './app.ts';

type Named = { readonly id: string; readonly version: number };
type Line = Named & { readonly missing: string[]; readonly assessed: { readonly margins: object[] } | null };

async function pick(page: Page, label: string, option: string): Promise<void> {
	await page.getByRole('combobox', { name: label, exact: true }).click();
	await page.getByRole('option', { name: option, exact: true }).click();
}

test('a distance to water that an assessment may reduce: on the label, in the log, on the record, completed and corrected', async ({
	app,
	page,
}) => {
	const date = new Date().toISOString().slice(0, 10);
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm', operator: 'A. Marsh', ruleSet: 'uk-code' });
	const { id: fieldId } = (await app.call('fields.add', { key: 'f', name: 'Mill Piece', measuredHa: 5 })) as Named;
	const product = {
		name: 'Capsule',
		formulation: 'CS',
		unit: 'L',
		packSizes: [1],
		limits: [{ kind: 'singleDose', max: 0.4 }],
	};
	const { id: productId } = (await app.call('products.add', { ...product, key: 'p' })) as Named;
	await app.call('store.receive', { key: 'in', productId, packSize: 1, packs: 9 });
	const sprayer = { key: 's', name: 'Trailed', capacityL: 4000, minimumL: 400, nozzle: '03 air', driftReduction: 75 };
	const { id: sprayerId } = (await app.call('sprayers.add', sprayer)) as Named;

	await app.open(page, '/farm/store/products');
	await page.getByText('Capsule').first().click();
	await page.getByRole('button', { name: 'Change' }).click();
	await page.getByRole('button', { name: 'Add a limit' }).click();
	await pick(page, 'Limit', 'Buffer');
	await page.getByRole('textbox', { name: 'At least' }).fill('5');
	await pick(page, 'May it be less?', 'Yes, by an assessment');
	await page.getByRole('button', { name: 'Add this limit' }).click();
	await page.getByRole('button', { name: 'Save the change' }).click();
	await expect(page.getByRole('dialog')).toHaveCount(0);
	await expect(page.getByText('Buffer to water at least 5 m, less after an assessment')).toBeVisible();

	const job = {
		...{ sprayerId, sprayVolumeLPerHa: 200, date, growthStage: '32', reason: 'aphids' },
		...{ fields: [{ fieldId }], products: [{ productId, dosePerHa: 0.1 }] },
	};
	const add = async (key: string) => ((await app.call('jobs.add', { ...job, key, name: key })) as Named).id;
	const lineOf = async (jobId: string) => ((await app.call('records.list', { jobId })) as Line[])[0];
	const [first, second] = [await add('Aphids'), await add('Again')];
	await app.open(page, `/farm/jobs/${first}/1/log`);
	await expect(page.getByText('0.1 of at most 0.4 L/ha is the quarter dose class')).toBeVisible();
	await expect(page.getByRole('combobox', { name: 'Less drift' })).toHaveValue('75 %');
	await page.getByRole('textbox', { name: 'Which' }).fill('ditch in the north');
	// What was begun is to be finished.
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toHaveCount(0);
	await pick(page, 'Water', 'Wet');
	await pick(page, 'Water width', '< 3 m');
	await page.getByRole('textbox', { name: 'Kept' }).fill('1');
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toContainText(
		'ditch in the north: wet, under 3 m wide, 75 % less drift, 1 m kept',
	);
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByText('Load 1 is logged')).toBeVisible();
	const line = await lineOf(first);
	expect(line?.assessed).toMatchObject({ doseClass: 'quarter', labelM: 5, reducible: true });
	await app.open(page, `/farm/records/${line?.id}`);
	await expect(page.getByText('which an assessment may reduce; quarter dose class')).toBeVisible();

	await app.open(page, `/farm/jobs/${second}/edit`);
	await expect(page.getByRole('region', { name: 'Limits' })).toContainText('no second treatment there within 48 h');
	await app.open(page, `/farm/jobs/${second}/1/log`);
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toContainText('not answered');
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByText('Load 1 is logged')).toBeVisible();
	const bare = await lineOf(second);
	expect(bare?.missing).toContain('buffer assessment');
	await app.open(page, `/farm/records/${bare?.id}`);
	await page.getByRole('button', { name: 'Complete the whole job' }).click();
	const dialog = page.getByRole('dialog');
	await dialog.getByRole('button', { name: 'Add a margin' }).click();
	await dialog.getByRole('textbox', { name: 'Which' }).fill('all round');
	await pick(page, 'Water', 'No water there');
	await dialog.getByRole('button', { name: 'Write it into the records' }).click();
	await expect(dialog).toHaveCount(0);
	await expect(page.getByText('all round: no water')).toBeVisible();
	expect((await lineOf(second))?.missing).not.toContain('buffer assessment');
	await page.getByRole('button', { name: 'Correct' }).first().click();
	await expect(dialog.getByRole('textbox', { name: 'Which' })).toHaveValue('all round');
	await dialog.getByRole('button', { name: 'Take off margin' }).click();
	await dialog.getByRole('textbox', { name: 'Why' }).fill('there is a ditch');
	await dialog.getByRole('button', { name: 'Write the correction' }).click();
	await expect(dialog).toHaveCount(0);
	expect((await lineOf(second))?.assessed).toBeNull();
});

test('a label of more than 5 m also asks for the equipment near the bank; both it and the pressure may be corrected', async ({
	app,
	page,
}) => {
	const date = new Date().toISOString().slice(0, 10);
	await app.call('settings.save', { key: 'farm 2', farmName: 'Marsh Farm', operator: 'A. Marsh', ruleSet: 'uk-code' });
	const { id: fieldId } = (await app.call('fields.add', { key: 'f2', name: 'Brook Piece', measuredHa: 5 })) as Named;
	const limits = [{ kind: 'buffer', min: 12, reducible: false }];
	const product = { name: 'Wide', formulation: 'SC', unit: 'L', packSizes: [1], limits };
	const { id: productId } = (await app.call('products.add', { ...product, key: 'p2' })) as Named;
	await app.call('store.receive', { key: 'in 2', productId, packSize: 1, packs: 9 });
	const sprayer = { key: 's2', name: 'Mounted', capacityL: 2000, minimumL: 200, pressureBar: 2.5 };
	const { id: sprayerId } = (await app.call('sprayers.add', sprayer)) as Named;
	const job = {
		sprayerId,
		sprayVolumeLPerHa: 200,
		date,
		fields: [{ fieldId }],
		products: [{ productId, dosePerHa: 1 }],
	};
	const { id: jobId } = (await app.call('jobs.add', { ...job, key: 'j2', name: 'Beetles' })) as Named;
	await app.open(page, `/farm/jobs/${jobId}/1/log`);
	await expect(page.getByText('(in Great Britain, from memory)')).toBeVisible();
	await expect(page.getByRole('textbox', { name: 'Pressure' })).toHaveValue('2.5');
	await page.getByRole('textbox', { name: 'Which' }).fill('brook');
	await pick(page, 'Water', 'Wet');
	await page.getByRole('textbox', { name: 'Kept' }).fill('12');
	await page.getByRole('textbox', { name: 'Up to' }).fill('3');
	await pick(page, 'Used within 30 m', 'No');
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toContainText(
		'brook: wet, 2.5 to 3 bar, no drift-reducing equipment within 30 m, 12 m kept',
	);
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByText('Load 1 is logged')).toBeVisible();
	await expect(page.getByRole('main')).toContainText('not used at brook');
	const [line] = (await app.call('records.list', { jobId })) as Line[];
	await app.open(page, `/farm/records/${line?.id}`);
	await expect(page.getByText('2.5 to 3 bar, no drift-reducing equipment within 30 m')).toBeVisible();
	await page.getByRole('button', { name: 'Correct it' }).click();
	const dialog = page.getByRole('dialog');
	await pick(page, 'Used within 30 m', 'Yes');
	await dialog.getByRole('textbox', { name: 'Pressure' }).fill('');
	await dialog.getByRole('textbox', { name: 'Up to' }).fill('');
	await dialog.getByRole('textbox', { name: 'Why' }).fill('asked the operator');
	await dialog.getByRole('button', { name: 'Write the correction' }).click();
	await expect(dialog).toHaveCount(0);
	const versions = page.getByRole('table', { name: 'What the record says, version by version' });
	await expect(versions.getByText('wet, drift-reducing equipment within 30 m, 12 m kept')).toBeVisible();
	await expect(versions.getByText('2.5 to 3 bar, no drift-reducing equipment within 30 m')).toBeVisible();
	await expect(page.getByText('Good to have and not said: pressure at the margins.')).toBeVisible();
	await app.open(page, '/farm/records');
	await expect(page.getByRole('region', { name: 'Completeness' })).toContainText('pressure at the margins');
});
