import { expect, type Page } from 'playwright/test';
import { test } from './app.ts';

type Named = { readonly id: string; readonly version: number };

async function pick(page: Page, label: string, option: string): Promise<void> {
	await page.getByRole('combobox', { name: label }).click();
	await page.getByRole('option', { name: option, exact: true }).click();
}

test('a label keeps off flowers and drained land: entered, asked at planning, answered, logged and completed', async ({
	app,
	page,
}) => {
	const date = new Date().toISOString().slice(0, 10);
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm', operator: 'A. Marsh', ruleSet: 'uk-code' });
	const fieldIds: string[] = [];
	for (const name of ['Mill Piece', 'Long Piece']) {
		fieldIds.push(((await app.call('fields.add', { key: name, name, measuredHa: 5 })) as Named).id);
	}
	const product = { name: 'Capsule', formulation: 'CS', unit: 'L', packSizes: [1] };
	const { id: productId } = (await app.call('products.add', { ...product, key: 'p' })) as Named;
	await app.call('store.receive', { key: 'in', productId, packSize: 1, packs: 5 });
	const sprayer = { key: 's', name: 'Trailed', capacityL: 4000, minimumL: 400 };
	const { id: sprayerId } = (await app.call('sprayers.add', sprayer)) as Named;

	await app.open(page, '/farm/store/products');
	await page.getByText('Capsule').first().click();
	await page.getByRole('button', { name: 'Change' }).click();
	await page.getByRole('button', { name: 'Add a limit' }).click();
	await pick(page, 'Limit', 'In flower');
	await page.getByRole('button', { name: 'Add this limit' }).click();
	await page.getByRole('button', { name: 'Add a limit' }).click();
	await pick(page, 'Limit', 'Kind of ground');
	await page.getByRole('button', { name: 'Add this limit' }).click();
	await expect(page.getByText('Name what the limit is about.')).toBeVisible();
	await pick(page, 'Not on', 'drained land');
	await page.getByRole('button', { name: 'Add this limit' }).click();
	await page.getByRole('button', { name: 'Save the change' }).click();
	await expect(page.getByRole('dialog')).toHaveCount(0);
	await expect(page.getByRole('listitem').filter({ hasText: 'Not where crop or weeds are in flower' })).toBeVisible();
	await expect(page.getByRole('listitem').filter({ hasText: 'Not on this ground: drained land' })).toBeVisible();

	const job = {
		...{ sprayerId, sprayVolumeLPerHa: 200, date, growthStage: '32', reason: 'aphids' },
		...{ fields: fieldIds.map((fieldId) => ({ fieldId })), products: [{ productId, dosePerHa: 0.1 }] },
	};
	const { id: jobId } = (await app.call('jobs.add', { key: 'job', name: 'Aphids', ...job })) as Named;
	await app.open(page, `/farm/jobs/${jobId}/edit`);
	const limits = page.getByRole('region', { name: 'Limits' });
	await expect(limits).toContainText('Not where the crop or weeds are in flower. Look first');
	await limits.getByRole('button', { name: 'Answer it' }).click();
	await page.getByRole('button', { name: 'On none of them' }).click();
	await pick(page, 'Long Piece', 'Yes');
	await page.getByRole('button', { name: 'Keep it in the register' }).click();
	await expect(limits).toContainText('The register says that it holds there. On Long Piece');
	await expect(limits.getByRole('button', { name: 'Answer it' })).toHaveCount(0);

	await app.open(page, `/farm/fields/${fieldIds[1]}`);
	await expect(page.getByRole('combobox', { name: 'Drained land' })).toHaveValue('Yes');
	await pick(page, 'Drained land', 'No');
	await app.open(page, `/farm/jobs/${jobId}/edit`);
	await expect(limits).toContainText('in flower');
	await expect(limits).not.toContainText('drained land');

	await app.open(page, `/farm/jobs/${jobId}/1/log`);
	await expect(page.getByRole('combobox', { name: 'In flower' })).toBeVisible();
	await page.getByRole('button', { name: 'Read it back' }).click();
	await expect(page.getByRole('dialog')).toContainText('not answered');
	await page.getByRole('button', { name: 'Log load 1' }).click();
	await expect(page.getByText('Load 1 is logged')).toBeVisible();

	const asked = { jobId };
	const [record] = (await app.call('records.list', asked)) as (Named & { readonly missing: string[] })[];
	expect(record?.missing).toContain('in flower');
	await app.open(page, `/farm/records/${record?.id}`);
	await page.getByRole('button', { name: 'Complete the whole job' }).click();
	await expect(page.getByText('Asked for by the label of Capsule')).toBeVisible();
	await pick(page, 'In flower', 'Nothing');
	await page.getByRole('button', { name: 'Write it into the records' }).click();
	await expect(page.getByRole('dialog')).toHaveCount(0);
	const period = { from: date, to: date };
	const review = (await app.call('season.read', { report: 'limit review', ...period })) as { rows: { kind: string }[] };
	expect(review.rows.filter(({ kind }) => kind === 'in flower' || kind === 'condition of the ground')).toEqual([]);
});

test('what was in flower is keyed with a paper card by Enter alone', async ({ app, page }) => {
	const date = new Date().toISOString().slice(0, 10);
	await app.call('settings.save', { key: 'farm 2', farmName: 'Marsh Farm' });
	const { id: fieldId } = (await app.call('fields.add', { key: 'c', name: 'Church Close', measuredHa: 5 })) as Named;
	const product = { name: 'Pyrethroid', formulation: 'EC', unit: 'L', packSizes: [1], limits: [{ kind: 'flowering' }] };
	const { id: productId } = (await app.call('products.add', { ...product, key: 'p 2' })) as Named;
	await app.call('store.receive', { key: 'in 2', productId, packSize: 1, packs: 5 });
	const sprayer = { key: 's 2', name: 'Mounted', capacityL: 2000, minimumL: 100 };
	const { id: sprayerId } = (await app.call('sprayers.add', sprayer)) as Named;
	const job = {
		sprayerId,
		sprayVolumeLPerHa: 200,
		date,
		fields: [{ fieldId }],
		products: [{ productId, dosePerHa: 0.1 }],
	};
	const { id: jobId } = (await app.call('jobs.add', { key: 'job 2', ...job })) as Named;
	const { code } = (await app.call('jobs.card', { jobId, load: 1 })) as { readonly code: string };
	await app.open(page, '/farm/jobs/cards');
	await page.getByLabel('Code').first().fill(code);
	await page.keyboard.press('Enter');
	await expect(page.getByLabel('Began')).toBeFocused();
	await page.getByRole('combobox', { name: 'In flower' }).waitFor();
	for (const typed of ['0600', '0640', '', 'A. Marsh', '', '', '', '', 'noth']) {
		if (typed !== '') await page.keyboard.type(typed);
		await page.keyboard.press('Enter');
	}
	await expect(page.getByRole('combobox', { name: 'In flower' })).toHaveValue('Nothing');
	await expect(page.getByLabel('Code').last()).toBeFocused();
	await page.keyboard.press('Enter');
	await page.keyboard.press('Enter');
	await expect(page.getByText(/load.* logged/i).first()).toBeVisible();
	const [line] = (await app.call('records.list', { jobId })) as { readonly flowering: string | null }[];
	expect(line?.flowering).toBe('nothing');
});
