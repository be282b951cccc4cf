import type { Polygon } from 'geojson';
import { expect, test } from 'vitest';
import { areaByGeographicLib } from '../../../geographiclib.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

/* An invented field of some 9.8 ha with a pond inside and one on its western edge. */

function box(west: number, south: number, east: number, north: number) {
	const ring = [
		[west, south],
		[east, south],
		[east, north],
		[west, north],
		[west, south],
	];
	return { type: 'Polygon' as const, coordinates: [ring] };
}

const ground = box(0.1, 52.1, 0.1046, 52.1028);
const pond = box(0.101, 52.101, 0.1014, 52.1013);
const onTheEdge = box(0.0996, 52.101, 0.1004, 52.1013);
const insideOfIt = box(0.1, 52.101, 0.1004, 52.1013);

async function piece(api: Api): Promise<string> {
	const { id } = await api.fields.add({ name: 'West Piece', geometry: ground });
	return id;
}

const drawn = { kind: 'obstacle', label: 'Pond' } as const;

test('a drawn obstacle is measured and comes off the area to load for', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const { field: before } = await api.fields.get({ id });
	const { field, strips } = await api.fields.addStrip({ key: 'p', id, ...drawn, geometry: pond });
	const expectedHa = areaByGeographicLib(pond).areaHa;
	expect(strips).toMatchObject([{ kind: 'obstacle', label: 'Pond', widthM: null }]);
	expect(strips[0]?.areaHa).toBeCloseTo(expectedHa, 4);
	expect(areaByGeographicLib(strips[0]?.geometry as Polygon).areaHa).toBeCloseTo(expectedHa, 4);
	expect(field.loadForHa).toBeCloseTo((before.loadForHa ?? 0) - expectedHa, 4);
	expect(field.measuredHa).toBe(before.measuredHa);
	const [onTheMap] = await api.fields.boundaries({});
	expect(onTheMap?.leftOut).toEqual([
		{ id: strips[0]?.id, kind: 'obstacle', label: 'Pond', areaHa: strips[0]?.areaHa, geometry: strips[0]?.geometry },
	]);
});

test('of an obstacle over the boundary only what lies inside counts, and no ground twice', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const { strips } = await api.fields.addStrip({ key: 'e', id, ...drawn, geometry: onTheEdge });
	expect(strips[0]?.areaHa).toBeCloseTo(areaByGeographicLib(insideOfIt).areaHa, 4);
	const wider = box(0.1, 52.101, 0.1008, 52.1013);
	const twice = await api.fields.addStrip({ key: 'w', id, ...drawn, label: 'Reeds', geometry: wider });
	const together = twice.strips.reduce((sum, { areaHa }) => sum + areaHa, 0);
	expect(together).toBeCloseTo(areaByGeographicLib(wider).areaHa, 4);
});

test('what is drawn can be measured before it is noted', async () => {
	const { api } = testBooks();
	const asked = { boundary: ground, obstacle: onTheEdge };
	const whole = await api.fields.obstacle(asked);
	expect(whole.areaHa).toBeCloseTo(areaByGeographicLib(insideOfIt).areaHa, 4);
	expect(await api.fields.obstacle({ ...asked, without: [ground] })).toEqual({ areaHa: 0, geometry: null });
});

test('a strip is measured before it is noted as it is noted then', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const edges = [
		{ ring: 0, edge: 0 },
		{ ring: 0, edge: 1 },
	];
	const before = await api.fields.strip({ boundary: ground, edges, widthM: 6 });
	const { strips } = await api.fields.addStrip({ key: 's', id, kind: 'strip', label: 'Ditch', edges, widthM: 6 });
	expect(before).toEqual({ areaHa: strips[0]?.areaHa, geometry: strips[0]?.geometry });
	const again = await api.fields.strip({ boundary: ground, edges, widthM: 6, without: [ground] });
	expect(again).toEqual({ areaHa: 0, geometry: null });
	const unknown = api.fields.strip({ boundary: ground, edges: [{ ring: 0, edge: 9 }], widthM: 6 });
	expect((await refusal(unknown)).code).toBe('strip.edgeUnknown');
});

test('an obstacle that takes no sprayed ground is refused, and says where to draw it', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const away = { id, ...drawn, geometry: box(0.2, 52.101, 0.201, 52.102) };
	expect(await refusal(api.fields.addStrip({ key: 'a', ...away }))).toEqual({
		code: 'obstacle.noGround',
		details: { label: 'Pond', field: 'West Piece' },
	});
	await api.fields.addStrip({ key: 'p', id, ...drawn, geometry: pond });
	expect((await refusal(api.fields.addStrip({ key: 'q', id, ...drawn, geometry: pond }))).code).toBe(
		'obstacle.noGround',
	);
});

test('a strip is not drawn, a field without a boundary has nowhere to draw, and a lake leaves nothing', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const strip = { key: 's', id, kind: 'strip', label: 'Ditch', geometry: pond } as const;
	expect(await refusal(api.fields.addStrip(strip))).toMatchObject({
		code: 'input.invalid',
		details: { path: 'geometry' },
	});
	const { id: bareId } = await api.fields.add({ name: 'Bare', mappedHa: 3 });
	const bare = await refusal(api.fields.addStrip({ key: 'b', id: bareId, ...drawn, geometry: pond }));
	expect(bare.code).toBe('fields.noBoundary');
	const lake = await refusal(api.fields.addStrip({ key: 'l', id, ...drawn, geometry: ground }));
	expect(lake.code).toBe('strip.nothingLeft');
	expect((await api.fields.get({ id })).strips).toEqual([]);
});

test('an obstacle that a new boundary leaves outside is taken off, and the answer says so', async () => {
	const { api } = testBooks();
	const id = await piece(api);
	const { field } = await api.fields.addStrip({ key: 'p', id, ...drawn, geometry: pond });
	const seen = { id, version: field.version, source: 'drawn on the map' };
	const geometry = box(0.102, 52.1, 0.1046, 52.1028);
	const after = await api.fields.setBoundary({ key: 'b', ...seen, geometry });
	expect(after.strips).toEqual([]);
	expect(after.warnings).toEqual([
		{ code: 'strip.gone', message: 'West Piece: Pond lies outside the new boundary and was taken off.' },
	]);
});
