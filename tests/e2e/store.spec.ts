import { expect } from 'playwright/test';
import { startApp, test } from './app.ts';

type Stock = { readonly name: string; readonly amount: number }[];

test('receive, log, count blind with one planted error, find it, post it, hand over the empties', async ({ page }) => {
	test.setTimeout(120_000);
	const app = await startApp();
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(error.message));
	try {
		const add = async (name: string, input: object) => (await app.call(name, input)) as { id: string };
		await app.call('settings.save', { key: 's', farmName: 'Alder Farm', operator: 'A. Marsh' });
		const made: string[] = [];
		for (const [name, formulation, packSizes] of [
			['Marl 250', 'EC', [5]],
			['Marle 205', 'EC', [5]],
			['Fen oil', 'EC', [10]],
		] as const) {
			made.push((await add('products.add', { name, formulation, unit: 'L', packSizes })).id);
		}
		const { id: fieldId } = await add('fields.add', { name: 'Long Piece', measuredHa: 20 });
		const { id: sprayerId } = await add('sprayers.add', { name: 'Trailed', capacityL: 4000, minimumL: 400 });

		await test.step('book a delivery of three lines', async () => {
			await app.open(page, '/farm/store');
			await page.getByRole('button', { name: 'Book a delivery' }).first().click();
			const dialog = page.getByRole('dialog');
			await dialog.getByRole('textbox', { name: 'Delivery note' }).fill('DN 1');
			for (const [index, [name, packs]] of [
				['Marl 250', '10'],
				['Marle 205', '6'],
				['Fen oil', '4'],
			].entries()) {
				if (index > 0) await dialog.getByRole('button', { name: 'Another line' }).click();
				const product = dialog.getByRole('combobox', { name: 'Product' }).nth(index);
				await product.click();
				await product.fill(name ?? '');
				await product.press('Enter');
				await dialog
					.getByRole('textbox', { name: 'Packs' })
					.nth(index)
					.fill(packs ?? '');
			}
			await dialog.getByRole('button', { name: 'Book 3 lines' }).click();
			await expect(dialog).toBeHidden();
		});
		await test.step('a load is logged', async () => {
			const { id: jobId } = await add('jobs.add', {
				key: 'job',
				name: 'Rust',
				sprayerId,
				sprayVolumeLPerHa: 100,
				fields: [{ fieldId }],
				products: [{ productId: made[0], dosePerHa: 1 }],
				date: '2026-05-01',
			});
			await app.call('jobs.logLoad', {
				...{ key: 'log', jobId, load: 1, operator: 'A. Marsh' },
				...{ startedAt: new Date(Date.now() - 120_000).toISOString(), finishedAt: new Date().toISOString() },
			});
		});
		await test.step('count blind, keyboard only', async () => {
			await page.goto(`${app.origin}/#/farm/store/stock-take`);
			await page.getByRole('button', { name: 'Open the stock take' }).press('Enter');
			// In the order of the names: Fen oil 4 × 10 L; Marl 250 30 L by the book; Marle 205 30 L by the book. Planted:
			// one can of Marl 250 was counted as Marle 205.
			for (const [name, full] of [
				['Fen oil', '4'],
				['Marl 250', '5'],
				['Marle 205', '7'],
			] as const) {
				await expect(page.getByRole('region', { name: `Count ${name}` })).toBeVisible();
				await expect(page.getByRole('textbox', { name: /^Full/ })).toBeFocused();
				await expect(page.getByRole('columnheader', { name: 'by the book' })).toHaveCount(0);
				await page.keyboard.type(full);
				await page.keyboard.press('Enter');
			}
		});
		await test.step('the furthest apart stands first and names what it may be taken for', async () => {
			const table = page.getByRole('grid', { name: 'Counted against the book' });
			await expect(table.getByRole('row').nth(3)).toContainText('Fen oil');
			await table.getByRole('row', { name: /Marl 250/ }).click();
			const beside = page.getByRole('region', { name: 'Marl 250' });
			await expect(beside).toContainText('Marle 205');
			await expect(beside).toContainText('is out by as much the other way');
			await expect(beside).toContainText('Rust, load 1');
			await expect(page.getByRole('button', { name: 'Approve and post' })).toBeDisabled();
			for (const name of ['Marl 250', 'Marle 205']) {
				await table.getByRole('row', { name: new RegExp(name) }).click();
				const one = page.getByRole('region', { name });
				await one.getByRole('textbox', { name: 'Why' }).fill('one can stood with the other');
				await one.getByRole('button', { name: 'Accept it' }).click();
				await expect(table.getByRole('row', { name: new RegExp(name) })).toContainText('accepted');
			}
			await page.getByRole('button', { name: 'Approve and post' }).click();
			await page.getByRole('button', { name: 'Post 2 adjustments' }).click();
			await expect(page.getByText(/approved by A. Marsh/)).toBeVisible();
			const stock = (await app.call('store.onHand')) as Stock;
			expect(stock.map(({ name, amount }) => [name, amount])).toEqual([
				['Fen oil', 40],
				['Marl 250', 25],
				['Marle 205', 35],
			]);
		});
		await test.step('note the rinsing, hand over the empties', async () => {
			await page.goto(`${app.origin}/#/farm/store/empties`);
			await page.getByRole('button', { name: 'Note it', exact: true }).click();
			await page.getByRole('radio', { name: /pressure nozzle/ }).check();
			await page.getByRole('button', { name: 'Note it for 1 load' }).click();
			await page.getByRole('button', { name: 'Count them' }).click();
			await page.getByRole('dialog').getByRole('textbox', { name: '5 L', exact: true }).fill('4');
			await page.getByRole('button', { name: 'Enter the count' }).click();
			await expect(page.getByRole('dialog')).toContainText('The count agrees with the book.');
			await page.getByRole('button', { name: 'Done' }).click();
			await page.getByRole('button', { name: 'Book a collection' }).click();
			const dialog = page.getByRole('dialog');
			await dialog.getByRole('textbox', { name: 'Carrier' }).fill('Licensed carrier');
			await dialog.getByRole('textbox', { name: 'Registration number' }).fill('CB 1');
			await dialog.getByRole('textbox', { name: 'Note number' }).fill('W 1');
			await expect(dialog.getByRole('textbox', { name: '5 L, rinsed' })).toHaveValue('4');
			await dialog.getByRole('button', { name: 'Book the collection' }).click();
			await expect(dialog).toContainText('Keep the note until');
			await dialog.getByRole('button', { name: 'Done' }).click();
			const row = page.getByRole('table', { name: 'Containers by size' }).getByRole('row', { name: /^5 L/ });
			await expect(row.getByRole('cell').nth(-2)).toHaveText('4');
			const byProduct = page.getByRole('table', { name: 'Containers by product' });
			const untold = byProduct.getByRole('row', { name: /^Not told by product 5 L/ });
			await expect(untold.getByRole('cell').nth(-2)).toHaveText('4');
			await expect(untold.getByRole('cell').nth(-3)).toHaveText('−4');
		});
		await test.step('take it back, and book the same one by product', async () => {
			await page.getByRole('button', { name: 'Take back note W 1' }).click();
			await page.getByRole('dialog').getByRole('textbox', { name: 'Why' }).fill('the products were noted');
			await page.getByRole('button', { name: 'Take it back' }).click();
			await page.getByRole('button', { name: 'Book a collection' }).click();
			const dialog = page.getByRole('dialog');
			await expect(dialog.getByRole('textbox', { name: 'Carrier' })).toHaveValue('Licensed carrier');
			await dialog.getByRole('textbox', { name: 'Note number' }).fill('W 2');
			await dialog.getByRole('checkbox', { name: '5 L', exact: true }).check();
			await expect(dialog.getByRole('textbox', { name: '5 L, rinsed' })).toHaveCount(0);
			const group = dialog.getByRole('group', { name: '5 L: 4 waiting' });
			await expect(group.getByRole('textbox', { name: 'Marl 250, rinsed' })).toHaveValue('4');
			await dialog.getByRole('button', { name: 'Book the collection' }).click();
			await dialog.getByRole('button', { name: 'Done' }).click();
			const byProduct = page.getByRole('table', { name: 'Containers by product' });
			const row = byProduct.getByRole('row', { name: /^Marl 250 5 L/ });
			await expect(row.getByRole('cell').nth(-2)).toHaveText('4');
			await expect(row.getByRole('cell').nth(-3)).toHaveText('–');
			await expect(byProduct.getByRole('row', { name: /^Not told/ })).toHaveCount(0);
		});
		expect(errors).toEqual([]);
	} finally {
		await app.close();
	}
});
