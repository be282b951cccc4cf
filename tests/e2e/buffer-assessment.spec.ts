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
	await pick(page, 'Water width', 'Under 3 m');
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
