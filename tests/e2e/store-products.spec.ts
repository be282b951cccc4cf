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
