import AxeBuilder from '@axe-core/playwright';
import { expect } from 'playwright/test';
import { type App, test } from './app.ts';

/** A suspension in two batches, the first of them opened, and a job planned with that. */
async function planned(app: App): Promise<{ jobId: string; productId: string }> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const id = async (name: string, input: object) => ((await app.call(name, input)) as { id: string }).id;
	const fieldId = await id('fields.add', { name: 'Long Piece', measuredHa: 10, mappedHa: 10 });
	const productId = await id('products.add', { name: 'Flow', formulation: 'SC', unit: 'L', packSizes: [5] });
	const receive = { productId, packSize: 5 };
	await app.call('store.receive', { key: 's1', ...receive, packs: 2, batch: 'S1', expires: '2030-03-31' });
	await app.call('store.receive', { key: 'l9', ...receive, packs: 4, batch: 'L9', expires: '2031-03-31' });
	await app.call('store.post', { key: 'o', productId, kind: 'spill', amount: 1.5, by: 'J. Wren', why: 'knocked over' });
	const sprayerId = await id('sprayers.add', { name: 'Trailed', capacityL: 3000, minimumL: 300 });
	const jobId = await id('jobs.add', {
		key: 'job',
		name: 'Wheat, mildew',
		sprayerId,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId }],
		products: [{ productId, dosePerHa: 1 }],
	});
	return { jobId, productId };
}

test('the log draws what the plan named; what is gone is said before it is written, on the answer and on the job', async ({
	app,
	page,
}) => {
	const { jobId, productId } = await planned(app);
	await app.open(page, `/farm/jobs/${jobId}/1/log`);
	await expect(
		page.getByText('Out of the store, as the plan named it: Flow: 8.5 L of batch S1, 1.5 L of batch L9'),
	).toBeVisible();
	await app.call('store.post', { key: 'g', productId, kind: 'spill', amount: 3.5, by: 'J. Wren', why: 'fell over' });
	await page.reload();
	const gone =
		'Not as named: 3.5 L of an opened container (batch S1). Instead: 3.5 L of a pack newly opened (batch L9).';
	await expect(page.getByText(gone)).toBeVisible();
	expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
	await page.getByRole('button', { name: 'Read it back' }).click();
	const readBack = page.getByRole('dialog');
	await expect(readBack.getByText('10.0 L · 5.0 L of batch S1, 5.0 L of batch L9')).toBeVisible();
	await expect(readBack.getByText(gone)).toBeVisible();
	await readBack.getByRole('button', { name: 'Log load 1' }).press('Enter');
	await expect(page.getByText('Load 1 is logged')).toBeVisible();
	await expect(page.getByText(gone)).toBeVisible();
	await page.goto(`${app.origin}/#/farm/jobs/${jobId}`);
	await expect(page.getByText(gone)).toBeVisible();
});
