import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'playwright/test';
import { test } from './app.ts';

const PNG = Buffer.from(
	'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
	'base64',
);
const PDF = Buffer.from('%PDF-1.4\ninvented label\n%%EOF\n');

test('a label is kept with its product, saved again to the byte, replaced by a newer one, and put aside', async ({
	page,
	app,
}) => {
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(error.message));
	await app.call('settings.save', { key: 's', farmName: 'Alder Farm', operator: 'A. Marsh' });
	await app.call('products.add', {
		...{ name: 'Marl 250', formulation: 'EC', unit: 'L', packSizes: [5] },
		hazards: ['H302', 'H317', 'H410'],
	});
	await app.open(page, '/farm/store/products');
	const beside = page.getByRole('region', { name: 'Marl 250' });
	const keep = async (button: string, file: { name: string; mimeType: string; buffer: Buffer }, kind?: string) => {
		await beside.getByRole('button', { name: button }).first().click();
		const dialog = page.getByRole('dialog');
		await dialog.locator('input[type=file]').setInputFiles(file);
		await expect(dialog).toContainText(file.name);
		if (kind) await dialog.getByRole('radio', { name: kind }).check();
		await dialog.getByRole('button', { name: 'Keep it' }).click();
		return dialog;
	};
	const pdf = { name: 'Label 2025.pdf', mimeType: 'application/pdf', buffer: PDF };

	let dialog = await keep('Keep a document', { ...pdf, buffer: Buffer.from('<html>') }, 'label');
	await expect(dialog.getByRole('alert')).toContainText('is not a whole PDF, PNG or JPEG');
	await dialog.getByRole('button', { name: 'Another file' }).click();
	await dialog.locator('input[type=file]').setInputFiles(pdf);
	await dialog.getByRole('button', { name: 'Keep it' }).click();
	await expect(dialog).toBeHidden();
	await expect(beside).toContainText('Label 2025.pdf');

	const downloading = page.waitForEvent('download');
	await beside.getByRole('button', { name: 'Save a copy of Label 2025.pdf' }).click();
	const download = await downloading;
	const saved = join(app.data, 'saved.pdf');
	await download.saveAs(saved);
	expect([download.suggestedFilename(), readFileSync(saved).equals(PDF)]).toEqual(['Label 2025.pdf', true]);

	dialog = await keep('Newer version', { name: 'Label 2026.png', mimeType: 'image/png', buffer: PNG });
	await expect(dialog).toBeHidden();
	await expect(beside).toContainText('Label 2026.png');
	await expect(beside).not.toContainText('Label 2025.pdf');
	await beside.getByRole('button', { name: 'Look at it' }).click();
	const picture = page.getByRole('img', { name: 'label Label 2026.png' });
	await expect.poll(() => picture.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(1);
	await page.keyboard.press('Escape');
	await beside.getByRole('button', { name: 'Show 1 earlier one' }).click();
	await expect(beside).toContainText('replaced by a newer version');

	await beside.getByRole('button', { name: 'Put aside' }).click();
	dialog = page.getByRole('dialog');
	await dialog.getByRole('textbox', { name: 'Why' }).fill('of another product');
	await dialog.getByRole('button', { name: 'Put it aside' }).click();
	await expect(beside).toContainText('None in use.');
	await expect(beside).toContainText('put aside: of another product');

	const backup = join(app.data, 'books.backup');
	await app.call('upkeep.backup', { path: backup });
	expect(await app.call('upkeep.verifyBackup', { path: backup })).toMatchObject({ ok: true });
	expect(readFileSync(backup).includes(PDF)).toBe(true);
	expect(errors).toEqual([]);
});

test('the store is drawn with the pointer, its shelves offered where a place is written, the list for emergencies printed', async ({
	page,
	app,
}) => {
	await app.call('settings.save', { key: 'plan', farmName: 'Alder Farm', operator: 'A. Marsh' });
	const { id } = (await app.call('products.add', {
		...{ name: 'Fen oil', formulation: 'EC', unit: 'L', packSizes: [10] },
		hazards: ['H304', 'H411'],
	})) as { id: string };
	await app.call('store.receive', { key: 'in', productId: id, packSize: 10, packs: 4 });
	await app.open(page, '/farm/store/watch');
	await page.getByRole('button', { name: 'Draw the plan' }).click();
	const dialog = page.getByRole('dialog');
	const drawing = dialog.getByRole('img', { name: /Plan of the store/ });
	const box = await drawing.boundingBox();
	const drag = async (from: readonly [number, number], to: readonly [number, number]) => {
		const at = ([x, y]: readonly [number, number]) =>
			[(box?.x ?? 0) + x * (box?.width ?? 0), (box?.y ?? 0) + y * (box?.height ?? 0)] as const;
		await page.mouse.move(...at(from));
		await page.mouse.down();
		await page.mouse.move(...at(to), { steps: 4 });
		await page.mouse.up();
	};
	await drag([0.1, 0.15], [0.5, 0.3]);
	await expect(dialog.getByRole('textbox', { name: 'Name' })).toHaveValue('Shelf 1');
	await drag([0.6, 0.5], [0.9, 0.7]);
	await dialog.getByRole('textbox', { name: 'Name' }).nth(1).fill('Oils');
	await dialog.getByRole('button', { name: 'Save the plan' }).click();
	await expect(dialog).toBeHidden();
	await expect(page.getByRole('img', { name: 'Plan of the store, 5 m by 3 m: Shelf 1, Oils' })).toBeVisible();

	await page.goto(`${app.origin}/#/farm/store/products`);
	await page.getByRole('gridcell', { name: 'Fen oil' }).click();
	await page.getByRole('button', { name: 'Change', exact: true }).click();
	const form = page.getByRole('dialog');
	await expect(form.locator('#store-places option')).toHaveCount(2);
	await form
		.getByRole('textbox', { name: 'Stands at' })
		.or(form.getByRole('combobox', { name: 'Stands at' }))
		.fill('Oils');
	await form.getByRole('checkbox', { name: '10 L: foil under the cap' }).check();
	await form.getByRole('textbox', { name: 'Cap of 10 L' }).fill('63');
	await form.getByRole('button', { name: 'Save the change' }).click();
	const beside = page.getByRole('region', { name: 'Fen oil' });
	await expect(beside).toContainText('63 mm cap, foil');
	await expect(beside.getByRole('img', { name: 'GHS08 health hazard' })).toBeVisible();
	await expect(beside.getByRole('img', { name: 'GHS09 environment' })).toBeVisible();
	await expect(beside).toContainText('may be fatal if swallowed and enters airways');

	await page.goto(`${app.origin}/#/farm/store/watch`);
	const downloading = page.waitForEvent('download');
	await page.getByRole('button', { name: 'Print the store list' }).click();
	expect((await downloading).suggestedFilename()).toMatch(/store list\.pdf$/);
});
