import { expect, type Page } from 'playwright/test';
import { startApp, test } from './app.ts';

test('two people count at once in two windows; nothing of either is lost, and a load logged meanwhile changes nothing', async ({
	browser,
}) => {
	test.setTimeout(120_000);
	const app = await startApp();
	try {
		const add = async (name: string, input: object) => (await app.call(name, input)) as { id: string };
		await app.call('settings.save', { key: 's', farmName: 'Alder Farm', operator: 'A. Marsh' });
		const packs = { formulation: 'EC', unit: 'L', packSizes: [5] };
		const { id: marl } = await add('products.add', { name: 'Marl 250', ...packs });
		const { id: rust } = await add('products.add', { name: 'Rust 90', ...packs });
		for (const productId of [marl, rust]) {
			await app.call('store.receive', { key: productId, productId, packSize: 5, packs: 6, date: '2026-03-01' });
		}
		const { id: fieldId } = await add('fields.add', { name: 'Long Piece', measuredHa: 10 });
		const { id: sprayerId } = await add('sprayers.add', { name: 'Trailed', capacityL: 4000, minimumL: 400 });
		const { id: jobId } = await add('jobs.add', {
			...{ key: 'job', sprayerId, sprayVolumeLPerHa: 200, fields: [{ fieldId }], date: '2026-05-01' },
			products: [{ productId: marl, dosePerHa: 1 }],
		});
		const first = await (await browser.newContext()).newPage();
		const second = await (await browser.newContext()).newPage();
		await app.open(first, '/farm/store/stock-take');
		await first.getByRole('button', { name: 'Open the stock take' }).press('Enter');
		await expect(first.getByRole('region', { name: 'Count Marl 250' })).toBeVisible();
		await app.open(second, '/farm/store/stock-take');
		await count(second, 'Rust 90', { by: 'J. Wren', place: 'Shelf 1', full: '2' });
		const inFirst = first.getByRole('grid', { name: 'Products to count' });
		await expect(inFirst.getByRole('row', { name: /Rust 90/ })).toContainText('J. Wren');
		// Another place of the same product is added.
		await count(first, 'Rust 90', { by: 'A. Marsh', place: 'Shelf 2', full: '4' });
		await expect(inFirst.getByRole('row', { name: /Rust 90/ })).toContainText('30.0 L');
		// The same place by both, and not alike: the later stands, and both windows say so.
		await count(first, 'Marl 250', { by: 'A. Marsh', place: 'Shelf 1', full: '6' });
		await count(second, 'Marl 250', { by: 'J. Wren', place: 'Shelf 1', full: '5' });
		const later = new Date(Date.now() + 1000).toISOString();
		const times = { startedAt: later, finishedAt: later };
		await app.call('jobs.logLoad', { key: 'log', jobId, load: 1, operator: 'A. Marsh', ...times });
		for (const page of [first, second]) {
			const compare = page.getByRole('button', { name: 'Compare with the book' });
			if (await compare.isVisible()) await compare.click();
			const row = page.getByRole('grid', { name: 'Counted against the book' }).getByRole('row', { name: /Marl 250/ });
			await row.click();
			// The load took 10 L after the freeze time: the book is still the 30 L of then.
			await expect(row).toContainText('30.0');
			await expect(page.getByRole('region', { name: 'Marl 250' })).toContainText(
				'Shelf 1: A. Marsh found 30.0 L, then J. Wren 25.0 L.',
			);
		}
		const one = first.getByRole('region', { name: 'Marl 250' });
		await one.getByRole('textbox', { name: 'Why' }).fill('one can was missing');
		await one.getByRole('button', { name: 'Accept it' }).click();
		await first.getByRole('button', { name: 'Approve and post' }).click();
		await first.getByRole('button', { name: /^Post 1 adjustment/ }).click();
		await expect(second.getByText(/approved by A. Marsh/)).toBeVisible();
		const stock = (await app.call('store.onHand')) as { name: string; amount: number }[];
		expect(stock.map(({ name, amount }) => [name, amount])).toEqual([
			['Marl 250', 15],
			['Rust 90', 30],
		]);
	} finally {
		await app.close();
	}
});

async function count(page: Page, name: string, found: { by: string; place: string; full: string }): Promise<void> {
	await page
		.getByRole('grid', { name: /Products to count/ })
		.getByRole('row', { name: new RegExp(name) })
		.click();
	const form = page.getByRole('region', { name: `Count ${name}` });
	await form.getByRole('combobox', { name: 'Place' }).fill(found.place);
	await form.getByRole('textbox', { name: 'Counted by' }).fill(found.by);
	await form.getByRole('textbox', { name: /^Full/ }).fill(found.full);
	await page.keyboard.press('Enter');
}
