import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from 'playwright/test';
import { type FillStep, standingSteps } from '../../shared/core/filling/fill-steps.ts';
import { type App, startApp, test } from './app.ts';

const BEGIN = Date.parse('2026-04-15T06:00:00Z');

/**
 * One load of 2,000 L at 240 L/min, 4 L/s: 12 × 5 L of a suspension, opened from 1,000 L on, 48 s each. The tank is to be
 * shut at half, 1,000 L, as twelve containers take 576 s and the other half runs in within 250 s.
 */
async function layBooks(app: App): Promise<string> {
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	const field = (await app.call('fields.add', { name: 'Long Piece', measuredHa: 20, mappedHa: 20 })) as { id: string };
	const product = (await app.call('products.add', {
		name: 'Suspension',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
	})) as { id: string };
	await app.call('store.receive', { key: 'in', productId: product.id, packSize: 5, packs: 30, date: '2026-03-01' });
	const sprayer = (await app.call('sprayers.add', {
		name: 'Trailed',
		capacityL: 3000,
		minimumL: 300,
		inflowLPerMin: 240,
		valveRunOnL: 12,
	})) as { id: string };
	const job = (await app.call('jobs.add', {
		key: 'job',
		name: 'Wheat',
		sprayerId: sprayer.id,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: field.id }],
		products: [{ productId: product.id, dosePerHa: 3 }],
		date: '2026-04-15',
		operator: 'A. Marsh',
	})) as { id: string };
	return job.id;
}

const containers = (page: Page) => page.getByRole('region', { name: 'Containers' });
const water = (page: Page) => page.getByRole('region', { name: 'Water' });

async function containersDone(page: Page, from: number, to: number, seconds: number): Promise<void> {
	for (let container = from; container <= to; container++) {
		await page.clock.runFor(seconds * 1000);
		await expect(containers(page)).toContainText(`Container ${container} of 12`);
		await page.keyboard.press('Space');
	}
}

test('a fill is run by keyboard, goes on after the lid was closed, and teaches the next card', async ({
	page,
	context,
}) => {
	test.setTimeout(120_000);
	const app = await startApp();
	const errors: string[] = [];
	page.on('pageerror', (error) => errors.push(error.message));
	try {
		const jobId = await layBooks(app);
		await page.clock.install({ time: BEGIN });
		await app.open(page, `/farm/jobs/${jobId}/1`);
		await page.getByRole('button', { name: 'Fill in the yard' }).click();

		await test.step('before the water runs: first container, first stop', async () => {
			await expect(containers(page)).toContainText('Container 1 of 12');
			await expect(containers(page)).toContainText('Open it at 1,000 L in the tank.');
			// 1,000 L of level less 12 L that still run in after the valve is shut.
			await expect(water(page)).toContainText('988');
		});

		await page.keyboard.press('s');
		await expect(page.getByRole('button', { name: /Undo: inlet opened/ })).toBeVisible();

		await test.step('the call to stop comes in time for the hand to reach the valve', async () => {
			await page.clock.runFor(225_000);
			await expect(water(page)).toContainText('Hand to the valve: shut at');
			await page.clock.runFor(17_500);
			await expect(water(page)).toContainText('Stop now');
			await page.clock.runFor(4500);
			await page.keyboard.press('s');
			await expect(water(page)).toContainText('Open the inlet again in');
		});

		await containersDone(page, 1, 3, 45);
		await test.step('a press too many is taken back', async () => {
			await page.keyboard.press('Space');
			await expect(containers(page)).toContainText('Container 5 of 12');
			await page.keyboard.press('u');
			await expect(containers(page)).toContainText('Container 4 of 12');
		});

		await test.step('the lid is closed for 20 s: nothing is lost, and the clock went on', async () => {
			// A press taken back before it was sent leaves no row, one taken back after it leaves two: five stand either way.
			await expect.poll(async () => standingSteps(await stepsOf(app, jobId)).length).toBe(5);
			await page.clock.runFor(20_000);
			await page.reload();
			await expect(containers(page)).toContainText('Container 4 of 12');
			await expect(containers(page)).toContainText('9 left');
			await expect(page.getByRole('timer')).toContainText('6:');
		});

		await test.step('a second device stands at the same container', async () => {
			const second = await context.newPage();
			await app.open(second, `/farm/jobs/${jobId}/fill/1`);
			await expect(containers(second)).toContainText('Container 4 of 12');
			await second.close();
			await page.bringToFront();
		});

		await containersDone(page, 4, 6, 45);
		await test.step('foam: everything stops with one press, and is logged with the next', async () => {
			await page.getByRole('button', { name: /Foam, overflow/ }).click();
			await expect(page.getByRole('alert')).toContainText('Everything stopped');
			await page.getByRole('button', { name: 'foam over the side' }).click();
			await expect(page.getByText(/foam over the side logged/)).toBeVisible();
			await page.clock.runFor(60_000);
			await page.getByRole('button', { name: 'It is under control: go on' }).click();
			await expect(containers(page)).toContainText('Container 7 of 12');
		});

		await containersDone(page, 7, 9, 45);
		await page.keyboard.press('s');
		await containersDone(page, 10, 12, 45);
		await expect(containers(page)).toContainText('All 12 are in');
		await expect(water(page)).toContainText('1,928');
		await page.clock.runFor(100_000);
		await page.keyboard.press('s');

		await test.step('a reading far from the clock is asked about before it is taken over', async () => {
			await page.getByRole('button', { name: 'Undo: inlet stopped' }).click();
			await page.getByRole('button', { name: 'Meter reads' }).click();
			const dialog = page.getByRole('dialog');
			await dialog.getByRole('textbox').fill('936');
			await dialog.getByRole('button', { name: 'Take it over' }).click();
			await expect(dialog.getByRole('alert')).toContainText('936 L is far from that');
			await dialog.getByRole('button', { name: 'Leave it' }).click();
			// The keys of the fill rest while a dialog is open, wherever the focus went.
			await page.getByRole('button', { name: 'Log an incident' }).click();
			await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
			await page.keyboard.press('s');
			await page.keyboard.press('Escape');
			await expect(page.getByRole('button', { name: 'Inlet stopped' })).toBeVisible();
			await page.keyboard.press('s');
		});

		await test.step('clean down, read the meter, log the fill', async () => {
			await page.getByLabel('hopper and bowl washed').check();
			await page.getByLabel('The meter reads').fill('1936');
			await page.getByRole('button', { name: 'Log the fill' }).click();
			await expect(page.getByText('the fill is logged')).toBeVisible();
			await expect(page.getByText(/foam over the side/)).toBeVisible();
		});

		await test.step('what is washed later is ticked later', async () => {
			const later = page.getByRole('region', { name: 'Clean down' });
			await expect(later.getByLabel('hopper and bowl washed')).toBeChecked();
			await later.getByLabel('containers on the drain rack').check();
			await later.getByRole('button', { name: 'Log what is ticked' }).click();
			await expect(later.getByLabel('containers on the drain rack')).toBeDisabled();
			const cleanings = (await app.call('fills.cleanings', {})) as { tasks: string[] }[];
			expect(cleanings.map(({ tasks }) => tasks)).toEqual([
				['containers on the drain rack'],
				['hopper and bowl washed'],
			]);
		});

		const fill = (await app.call('fills.ofLoad', { jobId, load: 1 })) as {
			containers: number;
			meteredL: number;
			stopsS: number[];
			handlingS: number;
		};
		expect({ ...fill, stopsS: fill.stopsS.length }).toMatchObject({ containers: 12, meteredL: 1936, stopsS: 1 });
		// 45 s each; the lid was closed for 20 s in between, and 60 s of foam do not count.
		expect(fill.handlingS).toBeGreaterThan(11 * 45);
		expect(fill.handlingS).toBeLessThan(11 * 45 + 40);

		await test.step('the log of the load begins with the meter of the fill', async () => {
			await page.getByRole('button', { name: 'Sprayed: log the load' }).click();
			await expect(page.getByRole('textbox', { name: /meter/i })).toHaveValue('1936');
		});
		expect(errors).toEqual([]);
	} finally {
		await app.close();
	}
});

test('presses made while the program does not answer are kept and sent afterwards', async ({ page }) => {
	const app = await startApp();
	try {
		const jobId = await layBooks(app);
		await app.open(page, `/farm/jobs/${jobId}/fill/1`);
		await expect(containers(page)).toContainText('Container 1 of 12');
		await page.keyboard.press('s');
		await expect.poll(async () => (await stepsOf(app, jobId)).length).toBe(1);
		await page.route('**/rpc/**', (route) => route.abort());
		await page.keyboard.press('Space');
		await page.keyboard.press('Space');
		await expect(containers(page)).toContainText('Container 3 of 12');
		await expect(page.getByText(/2 steps are kept on this device/)).toBeVisible();
		await page.unroute('**/rpc/**');
		await expect.poll(async () => (await stepsOf(app, jobId)).length).toBe(3);
		await expect(page.getByText(/kept on this device/)).toBeHidden();
	} finally {
		await app.close();
	}
});

test('every press is big enough for a glove, and the pages are accessible by day and by night', async ({ page }) => {
	const app = await startApp();
	try {
		const jobId = await layBooks(app);
		await app.open(page, `/farm/jobs/${jobId}/fill/1`);
		await expect(containers(page)).toContainText('Container 1 of 12');
		await page.keyboard.press('s');
		await expect(page.getByRole('button', { name: /Foam/ })).toBeVisible();
		for (const [width, height, colorScheme] of [
			[1366, 768, 'light'],
			[1024, 768, 'dark'],
			[800, 1280, 'light'],
		] as const) {
			await page.setViewportSize({ width, height });
			await page.emulateMedia({ colorScheme });
			// One press away without scrolling, whatever the device.
			for (const name of [/Foam, overflow/, /^Container done/, /^Inlet stopped/, /^Undo/])
				await expect(page.getByRole('button', { name })).toBeInViewport({ ratio: 1 });
			const sizes = await page
				.locator('.yard-press, .yard-tool, .yard-alarm, .yard-back')
				.evaluateAll((all) => all.map((each) => Math.min(each.clientHeight + 4, each.clientWidth + 4)));
			expect(sizes.length).toBeGreaterThan(5);
			expect(Math.min(...sizes)).toBeGreaterThanOrEqual(64);
			const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
			expect(wide).toBeLessThanOrEqual(0);
			expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
		}
	} finally {
		await app.close();
	}
});

async function stepsOf(app: App, jobId: string): Promise<FillStep[]> {
	return ((await app.call('fills.steps', { jobId, load: 1 })) as { steps: FillStep[] }).steps;
}
