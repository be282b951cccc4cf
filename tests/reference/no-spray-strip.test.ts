import type { MultiPolygon, Polygon, Position } from 'geojson';
import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { noSprayStrip } from '../../shared/core/geometry/no-spray-strip.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { type Buffer, jts, type Overlay, type Reader } from '../jts.ts';

/*
 * No-spray strips against the buffer and overlay of the JTS Topology Suite (in its JavaScript translation, jsts 2.12.1), on
 * an azimuthal equidistant plane about the field (proj4). Neither the plane nor the geometry is the program's own. The
 * fields are invented.
 */
type Case = {
	readonly name: string;
	readonly at: readonly [lon: number, lat: number];
	/** Rings in metres about the place. */
	readonly rings: readonly (readonly (readonly [number, number])[])[];
	/** Edges of the outer ring. */
	readonly edges: readonly number[];
	readonly widthM: number;
	readonly obstacles?: readonly (readonly (readonly [number, number])[])[];
};

const square = [
	[0, 0],
	[400, 0],
	[400, 300],
	[0, 300],
] as const;
const brook = Array.from({ length: 41 }, (_, step) => [step * 20, 30 * Math.sin(step / 3) + step] as const);
const coast = Array.from({ length: 60 }, (_, step) => {
	const angle = (2 * Math.PI * step) / 60;
	const radius = 250 + 60 * Math.sin(5 * angle) + 15 * Math.cos(17 * angle);
	return [radius * Math.cos(angle), radius * Math.sin(angle)] as const;
});

const cases: readonly Case[] = [
	{ name: 'a 6 m margin along one side', at: [11, 52], rings: [square], edges: [0], widthM: 6 },
	{ name: 'two sides that meet', at: [-3.2, 56.1], rings: [square], edges: [1, 2], widthM: 20 },
	{ name: 'two sides that do not meet', at: [0.4, 51.2], rings: [square], edges: [0, 2], widthM: 12 },
	{ name: 'all round', at: [24.1, 60.4], rings: [square], edges: [0, 1, 2, 3], widthM: 3 },
	{
		name: 'wider than the field',
		at: [5.5, 47],
		rings: [
			[
				[0, 0],
				[500, 0],
				[500, 15],
				[0, 15],
			],
		],
		edges: [0],
		widthM: 20,
	},
	{
		name: 'a winding brook',
		at: [14.2, 49.8],
		rings: [[...brook, [800, 400], [0, 400]]],
		edges: Array.from({ length: 40 }, (_, edge) => edge),
		widthM: 10,
	},
	{
		name: 'a field like a U, the strip in the bay',
		at: [-45.8, -12.1],
		rings: [
			[
				[0, 0],
				[300, 0],
				[300, 200],
				[200, 200],
				[200, 80],
				[100, 80],
				[100, 200],
				[0, 200],
			],
		],
		edges: [3, 4, 5],
		widthM: 25,
	},
	{
		name: 'a pond in the strip',
		at: [9.9, 56.4],
		rings: [
			square,
			[
				[180, 5],
				[220, 5],
				[220, 40],
				[180, 40],
			],
		],
		edges: [0],
		widthM: 24,
	},
	{
		name: 'obstacles partly in the strip, overlapping each other',
		at: [2.3, 48.9],
		rings: [square],
		edges: [0, 3],
		widthM: 18,
		obstacles: [
			[
				[100, 5],
				[140, 5],
				[140, 60],
				[100, 60],
			],
			[
				[120, -20],
				[160, -20],
				[160, 15],
				[120, 15],
			],
		],
	},
	{
		name: 'a lobed field, every third edge',
		at: [179.999, -38.4],
		rings: [coast],
		edges: Array.from({ length: 20 }, (_, step) => 3 * step),
		widthM: 8,
	},
];

test.each(cases)('$name', async ({ at, rings, edges, widthM, obstacles = [] }) => {
	const [Reader, BufferOp, OverlayOp] = await Promise.all([
		jts<Reader>('io/GeoJSONReader'),
		jts<Buffer>('operation/buffer/BufferOp'),
		jts<Overlay>('operation/overlay/OverlayOp'),
	]);
	const reader = new Reader();
	const onPlane = (outline: Case['rings']) =>
		reader.read({ type: 'Polygon', coordinates: outline.map((ring) => [...ring, ring[0]]) });
	const outer = rings[0] ?? [];
	const lines = edges.map((edge) => [outer[edge], outer[(edge + 1) % outer.length]]);
	const near = BufferOp.bufferOp(reader.read({ type: 'MultiLineString', coordinates: lines }), widthM, 200);
	let expected = OverlayOp.intersection(near, onPlane(rings));
	for (const obstacle of obstacles) expected = OverlayOp.difference(expected, onPlane([obstacle]));

	const plane = proj4(`+proj=aeqd +lat_0=${at[1]} +lon_0=${at[0]} +datum=WGS84 +units=m`);
	const inDegrees = (outline: Case['rings']): Polygon => ({
		type: 'Polygon',
		coordinates: outline.map((ring) =>
			[...ring, ring[0] ?? [0, 0]].map((point): Position => plane.inverse([...point])),
		),
	});
	const strip = noSprayStrip({
		boundary: inDegrees(rings),
		label: 'margin',
		along: [{ edges }],
		widthM,
		without: obstacles.map((obstacle) => inDegrees([obstacle])),
	});
	if (!strip.ok) throw new Error(strip.problem.code);
	const { areaM2, geometry } = strip.value;
	const slack = 1 + 1e-4 * expected.getArea();
	expect(expected.getArea()).toBeGreaterThan(100);
	expect(Math.abs(areaM2 - expected.getArea())).toBeLessThan(slack);
	expect(Math.abs(groundOf(geometry) - expected.getArea())).toBeLessThan(slack);
});

function groundOf(geometry: Polygon | MultiPolygon | null): number {
	const measured = geometry ? measure({ geometry }) : null;
	return measured?.ok ? measured.value.areaHa * 10_000 : 0;
}
