import { expect } from 'playwright/test';
import { test } from './app.ts';
import { idOf, layBooks, planSeed } from './machines-books.ts';

const TIMES = { startedAt: '2026-09-20T07:00:00', finishedAt: '2026-09-20T08:00:00', operator: 'A. Marsh' };

test.beforeEach(async ({ app }) => layBooks(app));

test('rain stops the spreading: what is left in the hopper goes into the next fill', async ({ app, page }) => {
	const fieldId = await idOf(app, 'fields.list', 'Long Piece');
	const { id: jobId } = (await app.call('jobs.add', {
		key: 'pellets',
		kind: 'granules',
		sprayerId: await idOf(app, 'sprayers.list', 'Spreader'),
		fields: [{ fieldId }],
		products: [{ productId: await idOf(app, 'products.list', 'Millrind pellets'), dosePerHa: 5 }],
		strategy: 'full',
		date: '2026-09-20',
	})) as { id: string };
	await app.call('jobs.logLoad', {
		key: 'pellets-1',
		jobId,
		load: 1,
		...TIMES,
		actual: { fields: [{ fieldId, areaHa: 10 }] },
		stopped: { why: 'rain' },
	});
	await app.open(page, `/farm/jobs/${jobId}`);
	await page.getByRole('button', { name: 'Plan the rest again' }).click();
	await expect(page.getByRole('columnheader', { name: 'spread', exact: true })).toBeVisible();
	await expect(page.getByLabel('What is left of fill 1 goes into the next fill')).toBeChecked();
	await expect(page.getByLabel('Left in the hopper')).toHaveValue('20');
	await expect(page.getByLabel('Still to go, Long Piece')).toHaveValue('21');
	await expect(page.getByText('Two fills, the largest', { exact: false }).or(page.getByText(/^2 fills/))).toBeVisible();
	await page.getByLabel('Why').fill('rain');
	await page.getByRole('button', { name: 'Save the new plan' }).click();
	await expect(page.getByText(/20 kg of it are in the hopper already/)).toBeVisible();
	await page.getByRole('button', { name: 'Card on screen' }).click();
	await expect(page.getByRole('article')).toContainText('20 kg are in it already');
});

test('a breakdown of the treater: the seed left is split into new batches', async ({ app, page }) => {
	const jobId = await planSeed(app);
	await app.open(page, `/farm/jobs/${jobId}/1/log`);
	await page.getByLabel('The batch was broken off before it was done').check();
	await page.getByLabel('Why').fill('breakdown');
	await page.getByLabel('Seed treated').fill('2000');
	await expect(page.getByText('Hollin FS 4.0 L')).toBeVisible();
	await page.getByRole('button', { name: 'Read it back' }).click();
	await page.getByRole('button', { name: 'Log batch 1' }).click();
	await page.getByRole('link', { name: 'Winter wheat, seed' }).click();
	await page.getByRole('button', { name: 'Plan the rest again' }).click();
	await expect(page.getByLabel('Seed of Winter wheat')).toHaveValue('3000');
	await page.getByLabel('Seed of Winter wheat').fill('2800');
	await expect(page.getByText('One batch of 2,800 kg.')).toBeVisible();
	await page.getByLabel('Why').fill('breakdown');
	await page.getByRole('button', { name: 'Save the new plan' }).click();
	await expect(page.getByText('4,800 kg of Winter wheat, lot 26-4', { exact: false })).toBeVisible();
	await expect(page.getByText('Batch 2: 2,800 kg of seed.')).toBeVisible();
});
