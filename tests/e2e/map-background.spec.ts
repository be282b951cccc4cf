import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { deflateSync } from 'node:zlib';
import type { Page } from 'playwright';
import { expect } from 'playwright/test';
import { test } from './app.ts';

test.describe.configure({ mode: 'serial' });

const ring = [
	[10.1, 52.1],
	[10.104, 52.1],
	[10.104, 52.103],
	[10.1, 52.103],
	[10.1, 52.1],
];

type MapServer = { origin: string; asked: string[]; cookies: string[]; server: Server };

/** A map server on this computer: grey squares for whatever is asked, with no word about who may show them. */
async function mapServer(): Promise<MapServer> {
	const [asked, cookies]: [string[], string[]] = [[], []];
	const picture = greySquare();
	const server = createServer((request, response) => {
		asked.push(request.url ?? '');
		cookies.push(request.headers.cookie ?? '');
		response.writeHead(200, { 'content-type': 'image/png', 'content-length': picture.length }).end(picture);
	});
	server.listen(0, '127.0.0.1');
	await once(server, 'listening');
	return { origin: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, asked, cookies, server };
}

/** One grey pixel as PNG (W3C Portable Network Graphics, second edition). */
function greySquare(): Buffer {
	const chunk = (type: string, data: Buffer) => {
		const body = Buffer.concat([Buffer.from(type), data]);
		const head = Buffer.alloc(4);
		head.writeUInt32BE(data.length);
		const sum = Buffer.alloc(4);
		sum.writeUInt32BE(crc(body));
		return Buffer.concat([head, body, sum]);
	};
	const header = Buffer.from([0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]);
	const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
	const pixels = deflateSync(Buffer.from([0, 0xb0]));
	return Buffer.concat([signature, chunk('IHDR', header), chunk('IDAT', pixels), chunk('IEND', Buffer.alloc(0))]);
}

function crc(bytes: Buffer): number {
	let sum = 0xffffffff;
	for (const byte of bytes) {
		sum ^= byte;
		for (let bit = 0; bit < 8; bit++) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
	}
	return (sum ^ 0xffffffff) >>> 0;
}

let map: MapServer;

test.beforeAll(async () => {
	map = await mapServer();
});

test.afterAll(() => {
	map.server.close();
	map.server.closeAllConnections();
});

const loaded = (page: Page) =>
	page
		.locator('img.leaflet-tile')
		.evaluateAll((tiles) => tiles.filter((tile) => (tile as HTMLImageElement).naturalWidth).length)
		// A background that is set opens the page anew: while it goes, there is none.
		.catch(() => 0);

test('without a background the map asks nobody', async ({ app, page }) => {
	await app.call('settings.save', { key: 'farm', farmName: 'Marsh Farm' });
	await app.call('fields.add', { key: 'f', name: 'Mill Piece', geometry: { type: 'Polygon', coordinates: [ring] } });
	const foreign: string[] = [];
	page.on('request', (request) => request.url().startsWith(app.origin) || foreign.push(request.url()));
	await app.open(page, '/farm/fields');
	await expect(page.getByRole('region', { name: /^Map of the fields/ })).toBeVisible();
	await page.waitForTimeout(500);
	expect(foreign.filter((url) => !url.startsWith('blob:') && !url.startsWith('data:'))).toEqual([]);
});

test('a bad address is refused and says how it should read', async ({ app, page }) => {
	await app.open(page, '/farm/settings/map');
	await page.getByText('Squares (XYZ)').click();
	await page.getByLabel('Address').fill('http://tiles.example/{z}/{x}/{y}.png');
	await page.getByLabel('Source line').fill('© County Survey');
	await page.getByRole('button', { name: 'Use this background' }).click();
	await expect(page.getByRole('alert')).toContainText('begin it with https://');
});

test('squares of the server that was set lie under the fields, and of no other', async ({ app, page }) => {
	await app.open(page, '/farm/settings/map');
	await page.getByText('Squares (XYZ)').click();
	await expect(page.getByText('can tell where the fields are')).toBeVisible();
	await page.getByLabel('Address').fill(`${map.origin}/{z}/{x}/{y}.png`);
	await page.getByLabel('Source line').fill('© County Survey');
	await page.getByRole('button', { name: 'Use this background' }).click();
	await expect(page.getByText('© County Survey')).toBeVisible();
	await expect.poll(() => loaded(page)).toBeGreaterThan(0);
	expect(map.asked.every((url) => /^\/\d+\/\d+\/\d+\.png$/.test(url))).toBe(true);
	expect(map.cookies.join('')).toBe('');
	const other = await mapServer();
	const [own, foreign, script] = await page.evaluate(
		async ([set, elsewhere]) => {
			const picture = (src: string) =>
				new Promise((done) => {
					const image = new Image();
					image.onload = () => done('shown');
					image.onerror = () => done('blocked');
					image.src = src;
				});
			const asked = fetch(`${set}/data`).then(
				() => 'read',
				() => 'blocked',
			);
			return [await picture(`${set}/1/1/1.png`), await picture(`${elsewhere}/1/1/1.png`), await asked];
		},
		[map.origin, other.origin],
	);
	expect([own, foreign, script, other.asked]).toEqual(['shown', 'blocked', 'blocked', []]);
	other.server.close();
});

test('a map service is asked by its standard', async ({ app, page }) => {
	await app.open(page, '/farm/settings/map');
	await page.getByText('Map service (WMS)').click();
	await page.getByLabel('Address').fill(`${map.origin}/wms?map=land&SERVICE=WMS&REQUEST=GetCapabilities`);
	await page.getByLabel('Layers').fill('aerial');
	map.asked.length = 0;
	await page.getByRole('button', { name: 'Use this background' }).click();
	await expect.poll(() => map.asked.filter((url) => url.startsWith('/wms')).length).toBeGreaterThan(0);
	await expect.poll(() => loaded(page)).toBeGreaterThan(0);
	const asked = new URL(map.asked.find((url) => url.startsWith('/wms')) ?? '', map.origin).searchParams;
	const named = Object.fromEntries([...asked].map(([name, value]) => [name.toLowerCase(), value]));
	// OGC 01-068r3, 7.2.3: what a GetMap question of version 1.1.1 carries.
	expect(named).toMatchObject({
		...{ map: 'land', service: 'WMS', request: 'GetMap', version: '1.1.1', layers: 'aerial' },
		...{ srs: 'EPSG:3857', format: 'image/png', width: '256', height: '256' },
	});
});

test('a server that does not answer is named quietly, and the fields stay', async ({ app, page }) => {
	const gone = await mapServer();
	gone.server.close();
	const background = { kind: 'xyz', address: `${gone.origin}/{z}/{x}/{y}.png`, credit: '© County Survey' };
	await app.call('settings.setBackground', { key: 'gone', background });
	await app.open(page, '/farm/fields');
	await expect(page.getByText('The background cannot be reached. The fields are all here.')).toBeVisible();
	await expect(page.getByRole('gridcell', { name: 'Mill Piece' })).toBeVisible();
});

test('switched off, nobody is asked any more', async ({ app, page }) => {
	await app.open(page, '/farm/settings/map');
	await page.getByText('None', { exact: true }).click();
	await page.getByRole('button', { name: 'Switch it off' }).click();
	await expect(page.getByText('no server is asked')).toBeVisible();
	await expect(page.locator('img.leaflet-tile')).toHaveCount(0);
	const page2 = await page.request.get(`${app.origin}/`);
	expect(page2.headers()['content-security-policy']).toContain("img-src 'self' data: blob:;");
});
