import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { noSprayStrip } from '../../../../shared/core/geometry/no-spray-strip.ts';
import { ask, fromPage, openDoor } from '../loopback/open-door.ts';
import { scratchFolder } from '../scratch.ts';
import { type Farm, workingFarm } from './command-examples.ts';
import { refusal, testBooks } from './test-books.ts';

/** Refusals that no other test comes by: each with the call of a person who meets it. */
const met: Readonly<Record<string, (farm: Farm) => Promise<unknown>>> = {
	'file.attributeUnknown': ({ api }) => api.fields.import({ path: boundaryFile(), nameAttribute: 'title' }),
	'file.repairNotOffered': ({ api }) =>
		api.fields.import({ path: boundaryFile(), repairs: [{ record: 1, repair: 'outline' }] }),
	'file.areaUnitUnclear': ({ api }) => api.fields.import({ path: boundaryFile(), mappedAreaAttribute: 'size' }),
	'fields.noBoundary': async ({ api, fieldId, mappedId }) => {
		const fields = [];
		for (const id of [mappedId, fieldId]) fields.push({ id, version: (await api.fields.get({ id })).field.version });
		return api.fields.merge({ key: 'x', fields, name: 'Both' });
	},
	'strip.edgeUnknown': (farm) => strip(farm, { edges: [{ ring: 0, edge: 9 }] }),
	'strip.nothingLeft': ({ api, mappedId: id }) =>
		api.fields.addStrip({ key: 'x', id, kind: 'obstacle', label: 'lake', areaHa: 100 }),
	'operator.listed': async ({ api }) => {
		await api.settings.addOperator({ key: 'a', name: 'A. Marsh' });
		return api.settings.addOperator({ key: 'x', name: 'A. Marsh' });
	},
	'product.nameTaken': ({ api }) =>
		api.products.add({ name: 'Suspension', formulation: 'SC', unit: 'L', packSizes: [5] }),
	'stockTake.notCounted': async ({ api, granuleId: productId }) => {
		const { id: takeId } = await api.store.openStockTake({ key: 'take', by: 'J. Wren' });
		const verdict = { verdict: 'accepted', why: 'w', by: 'J. Wren' } as const;
		return api.store.settleDifference({ key: 'x', takeId, productId, ...verdict });
	},
	'load.notLogged': ({ api, plannedId: jobId }) =>
		api.jobs.reverseLoad({ key: 'x', jobId, load: 1, why: 'w', by: 'J. Wren' }),
	'job.blocked': async ({ api, fieldId, sprayerId, suspensionId: productId }) => {
		const limits = [{ kind: 'singleDose' as const, max: 1 }];
		await api.products.update({ key: 'limit', id: productId, version: 1, limits });
		const mix = { fields: [{ fieldId }], products: [{ productId, dosePerHa: 2 }] };
		return api.jobs.add({ key: 'x', sprayerId, sprayVolumeLPerHa: 100, ...mix });
	},
	'job.closed': async ({ api, loggedId: id }) => {
		await api.jobs.close({ key: 'first', id });
		return api.jobs.close({ key: 'x', id });
	},
	'record.final': async ({ api, loggedId: jobId, recordId: id }) => {
		await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'w', by: 'J. Wren' });
		return api.records.correct({ key: 'x', id, version: 2, why: 'w', by: 'J. Wren', growthStage: '31' });
	},
};

function boundaryFile(): string {
	const path = join(scratchFolder(), 'fields.geojson');
	const ring = [
		[9, 51],
		[9.004, 51],
		[9.004, 51.003],
		[9, 51],
	];
	const geometry = { type: 'Polygon', coordinates: [ring] };
	const features = [{ type: 'Feature', properties: { name: 'East', size: 777 }, geometry }];
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features }));
	return path;
}

function strip({ api, mappedId: id }: Farm, along: { edges: { ring: number; edge: number }[] }) {
	return api.fields.addStrip({ key: 'x', id, kind: 'strip', label: 'ditch', widthM: 6, ...along });
}

test.each(Object.entries(met))('%s is met where it should be', async (code, call) => {
	const { api } = testBooks();
	const farm = await workingFarm(api);
	expect((await refusal(call(farm))).code).toBe(code);
});

test('strip.noEdges is the word of the core where no edge was chosen', () => {
	const ring = [
		[9, 51],
		[9.004, 51],
		[9.004, 51.003],
		[9, 51],
	];
	const boundary = { type: 'Polygon' as const, coordinates: [ring] };
	const drawn = noSprayStrip({ boundary, label: 'ditch', along: [{ ring: 0, edges: [] }], widthM: 6 });
	expect(drawn).toMatchObject({ ok: false, problem: { code: 'strip.noEdges', details: { label: 'ditch' } } });
});

test('a full disk is refused as data.full, saves nothing, and the same key works once there is room', async () => {
	const { api, book } = testBooks();
	const { granuleId: productId } = await workingFarm(api);
	const { sqlite } = book.writer;
	const pages = Number(sqlite.pragma('page_count', { simple: true }));
	sqlite.pragma(`max_page_count = ${pages}`);
	const receive = (index: number) =>
		api.store.receive({ key: `k${index}`, productId, packSize: 1, packs: 1, note: 'n'.repeat(120) });
	let stored = 0;
	let refused = null;
	while (stored < 500 && !refused) {
		refused = await refusal(receive(stored)).catch(() => null);
		if (!refused) stored += 1;
	}
	expect(refused).toEqual({ code: 'data.full', details: {} });
	const lines = async () => (await api.store.movements({ productId, limit: 10_000 })).length;
	expect(await lines()).toBe(stored + 1);
	sqlite.pragma('max_page_count = 1000000');
	await receive(stored);
	await receive(stored);
	expect(await lines()).toBe(stored + 2);
	expect((await api.records.verify({})).ok).toBe(true);
});

test('door.foreign, door.locked and door.busy are said in words of their own', async () => {
	const door = await openDoor();
	const post = (body: object, signedIn = {}) =>
		ask(door.port, 'POST', '/session', fromPage(door.port, signedIn), JSON.stringify(body));
	const codeOf = ({ body }: { body: string }) => (JSON.parse(body) as { json: { code: string } }).json.code;
	expect(codeOf(await ask(door.port, 'PUT', '/session', fromPage(door.port), '{}'))).toBe('door.foreign');
	expect(codeOf(await post({ launch: 'wrong' }))).toBe('door.locked');
	let last = '';
	for (let attempt = 0; attempt < 60 && last !== 'door.busy'; attempt++) last = codeOf(await post({ launch: 'wrong' }));
	expect(last).toBe('door.busy');
});
