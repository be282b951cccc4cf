import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { chromium } from 'playwright';
import { expect } from 'playwright/test';
import { findBrowser, sandboxFlags } from '../../electron/host/browser.ts';
import { test } from './app.ts';

test('the launch address opens one window, once, and stays in no history', async ({ app, page, context }) => {
	const address = await app.address();
	await page.goto(address);
	await expect(page.locator('#root')).not.toBeEmpty();
	expect(page.url()).not.toContain('launch');
	const [cookie] = await context.cookies();
	expect(cookie).toMatchObject({
		name: `fillmark-${new URL(app.origin).port}`,
		httpOnly: true,
		sameSite: 'Strict',
		path: '/',
		expires: -1,
	});
	expect(await page.evaluate(() => document.cookie)).toBe('');
	const other = await context.browser()?.newContext();
	const second = await other?.newPage();
	await second?.goto(address);
	await expect(second?.getByRole('status') ?? page.locator('none')).toContainText('works once');
	await other?.close();
});

test('the whole page loads under its policy', async ({ app, page }) => {
	const broken: string[] = [];
	page.on(
		'console',
		(message) => /Content Security Policy|Refused to/.test(message.text()) && broken.push(message.text()),
	);
	await app.open(page);
	await expect(page.locator('#root')).not.toBeEmpty();
	expect(broken).toEqual([]);
	await page.evaluate(() => {
		const script = document.createElement('script');
		script.textContent = 'document.title = "run"';
		document.body.append(script);
		const image = document.createElement('img');
		image.setAttribute('onerror', 'document.title = "run"');
		image.src = '/nowhere.png';
		document.body.append(image);
	});
	await expect.poll(() => broken.length).toBeGreaterThan(0);
	expect(await page.title()).not.toBe('run');
});

test('two windows of one browser do not lock each other out', async ({ app, context }) => {
	const [first, second] = [await context.newPage(), await context.newPage()];
	await app.open(first);
	await app.open(second);
	const asked = await Promise.all([first, second].map((page) => page.evaluate(askForFields)));
	expect(asked).toEqual([200, 200]);
});

test('a name that was re-bound to this computer gets nothing', async ({ app }) => {
	const { port } = new URL(app.origin);
	const executablePath = findBrowser();
	const args = [...sandboxFlags(), '--host-resolver-rules=MAP evil.test 127.0.0.1'];
	const browser = await chromium.launch({ ...(executablePath ? { executablePath } : {}), args });
	const page = await browser.newPage();
	const answer = await page.goto(`http://evil.test:${port}/`);
	expect([answer?.status(), await page.content()]).toEqual([421, expect.not.stringContaining('root')]);
	const control = await page.goto(`http://127.0.0.1:${port}/health`);
	expect(control?.status()).toBe(200);
	await browser.close();
});

/** A page of another program on this computer: another port is the same site to a browser, cookies go there too. */
async function neighbour(target: string): Promise<{ url: string; server: Server; cookies: string[] }> {
	const cookies: string[] = [];
	const server = createServer((request, response) => {
		cookies.push(request.headers.cookie ?? '');
		response.writeHead(200, { 'content-type': 'text/html' });
		response.end(
			`<title>neighbour</title><form method="post" enctype="text/plain" action="${target}/rpc/farm/fields/add"><input name='{"json":{"name":"x"},"a":"' value='"}'></form>`,
		);
	});
	server.listen(0, '127.0.0.1');
	await once(server, 'listening');
	return { url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`, server, cookies };
}

test('a neighbour on another port reads nothing and writes nothing, though the cookie goes along', async ({
	app,
	context,
	page,
}) => {
	await app.open(page);
	const before = JSON.stringify(await app.call('fields.list'));
	const { url, server, cookies } = await neighbour(app.origin);
	const foreign = await context.newPage();
	await foreign.goto(url);
	expect(cookies.join()).toContain('fillmark-');
	const tried = await foreign.evaluate(async (origin) => {
		const attempt = (path: string, init: RequestInit) =>
			fetch(origin + path, { credentials: 'include', ...init }).then(
				(answer) => `${answer.type} ${answer.status}`,
				() => 'blocked',
			);
		const json = { method: 'POST', headers: { 'content-type': 'application/json' }, body: '{"json":{"name":"x"}}' };
		const socket = new Promise<string>((done) => {
			const line = new WebSocket(`${origin.replace('http', 'ws')}/rpc/farm/fields/list`);
			line.onopen = () => done('open');
			line.onerror = () => done('blocked');
		});
		const frame = document.createElement('iframe');
		frame.src = `${origin}/`;
		document.body.append(frame);
		await new Promise((done) => frame.addEventListener('load', done));
		const framed = frame.contentDocument === null ? 'blocked' : 'read';
		return [
			await attempt('/', {}),
			await attempt('/rpc/farm/fields/list', {}),
			await attempt('/rpc/farm/fields/add', json),
			await attempt('/rpc/farm/fields/add', { method: 'POST', body: '{"json":{"name":"x"}}' }),
			await socket,
			framed,
		];
	}, app.origin);
	expect(tried).toEqual(Array(6).fill('blocked'));
	const opaque = await foreign.evaluate(async (origin) => {
		const answer = await fetch(`${origin}/rpc/farm/fields/add`, {
			method: 'POST',
			mode: 'no-cors',
			credentials: 'include',
			body: '{"json":{"name":"x"}}',
		}).catch(() => null);
		return answer === null ? 'blocked' : answer.type;
	}, app.origin);
	expect(['blocked', 'opaque']).toContain(opaque);
	const posted = foreign.waitForResponse((response) => response.url().includes('/fields/add'));
	await foreign.evaluate(() => document.forms[0]?.submit());
	expect((await posted).status()).toBe(403);
	expect(JSON.stringify(await app.call('fields.list'))).toBe(before);
	server.close();
});

test('a cookie that a neighbour overwrote logs out; it logs nobody in', async ({ app, context, page }) => {
	await app.open(page);
	expect(await page.evaluate(askForFields)).toBe(200);
	const [cookie] = await context.cookies();
	await context.addCookies([{ name: cookie?.name ?? '', value: 'theirs', url: app.origin }]);
	expect(await page.evaluate(askForFields)).toBe(401);
});

async function askForFields(): Promise<number> {
	const answer = await fetch('/rpc/farm/fields/list', {
		method: 'POST',
		headers: { 'content-type': 'application/json', 'x-fillmark-token': sessionStorage.getItem('fillmark-token') ?? '' },
		body: '{"json":{}}',
	});
	return answer.status;
}
