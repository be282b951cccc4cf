/**
 * Writes shared/core/geodesy/land-table.ts and country-table.ts from land-50m.json and countries-50m.json of world-atlas
 * 2.0.2 (TopoJSON of Natural Earth 1:50 million, public domain): `node tests/make-land-table.ts FOLDER`.
 *
 * The world is cut into squares of half a degree. A square is land when a coast runs through it or its middle lies on land;
 * then the land is grown by one square all round, so that no coastal field and no island of the map is lost.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

type Topology = {
	readonly transform: { readonly scale: [number, number]; readonly translate: [number, number] };
	readonly arcs: readonly (readonly (readonly [number, number])[])[];
	readonly objects: {
		readonly land?: { readonly geometries: readonly { readonly arcs: readonly number[][][] }[] };
		readonly countries?: { readonly geometries: readonly Country[] };
	};
};
type Country =
	| { readonly id?: string; readonly type: 'Polygon'; readonly arcs: readonly number[][] }
	| { readonly id?: string; readonly type: 'MultiPolygon'; readonly arcs: readonly number[][][] };
type Box = readonly [west: number, south: number, east: number, north: number];
type Point = readonly [lon: number, lat: number];

const PER_DEGREE = 2;
const [COLUMNS, ROWS] = [360 * PER_DEGREE, 180 * PER_DEGREE];

const atlas = (name: string) => JSON.parse(readFileSync(join(process.argv[2] ?? '', name), 'utf8')) as Topology;

/** The rings of an atlas, from its arcs' numbers: a negative one is walked backwards. */
function ringsFrom({ transform, arcs }: Topology): (indices: readonly number[]) => Point[] {
	const { scale, translate } = transform;
	const lines = arcs.map((arc) => {
		let [x, y] = [0, 0];
		return arc.map(([dx, dy]): Point => {
			[x, y] = [x + dx, y + dy];
			return [x * scale[0] + translate[0], y * scale[1] + translate[1]];
		});
	});
	return (indices) =>
		indices.flatMap((index) => (index < 0 ? (lines[~index] ?? []).toReversed() : (lines[index] ?? [])));
}

const landAtlas = atlas('land-50m.json');
const landRing = ringsFrom(landAtlas);
const rings = (landAtlas.objects.land?.geometries ?? []).flatMap(({ arcs: polygons }) =>
	polygons.flatMap((polygon) => polygon.map((indices) => landRing(indices as unknown as number[]))),
);

const land = Array.from({ length: ROWS }, () => new Uint8Array(COLUMNS));
const mark = ([lon, lat]: Point) => {
	const row = Math.min(ROWS - 1, Math.max(0, Math.floor((90 - lat) * PER_DEGREE)));
	const column = ((Math.floor((lon + 180) * PER_DEGREE) % COLUMNS) + COLUMNS) % COLUMNS;
	(land[row] as Uint8Array)[column] = 1;
};
for (const ring of rings) {
	for (const [index, from] of ring.entries()) {
		const to = ring[index + 1] ?? from;
		const steps = Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) * PER_DEGREE * 20) + 1;
		for (let step = 0; step < steps; step++) {
			mark([from[0] + ((to[0] - from[0]) * step) / steps, from[1] + ((to[1] - from[1]) * step) / steps]);
		}
	}
}
for (let row = 0; row < ROWS; row++) {
	const lat = 90 - (row + 0.5) / PER_DEGREE;
	const cuts: number[] = [];
	for (const ring of rings) {
		for (const [index, [lon, here]] of ring.entries()) {
			const [nextLon, next] = ring[index + 1] ?? ring[0] ?? [lon, here];
			if (here > lat !== next > lat) cuts.push(lon + ((lat - here) / (next - here)) * (nextLon - lon));
		}
	}
	cuts.sort((one, other) => one - other);
	for (let at = 0; at + 1 < cuts.length; at += 2) {
		for (let column = 0; column < COLUMNS; column++) {
			const lon = (column + 0.5) / PER_DEGREE - 180;
			if (lon > (cuts[at] ?? 0) && lon < (cuts[at + 1] ?? 0)) (land[row] as Uint8Array)[column] = 1;
		}
	}
}
const grown = land.map((_, row) =>
	Uint8Array.from({ length: COLUMNS }, (__, column) =>
		[-1, 0, 1].some((down) =>
			[-1, 0, 1].some((right) => land[row + down]?.[(column + right + COLUMNS) % COLUMNS] === 1),
		)
			? 1
			: 0,
	),
);
const rows = grown.map((row) => {
	const changes: number[] = [];
	for (const [column, value] of row.entries()) if (value !== (column === 0 ? 0 : row[column - 1])) changes.push(column);
	return changes.map((column) => column.toString(36)).join(' ');
});
const text = `/**
 * Where there is land, in squares of half a degree: rows from 90° N southwards; each names, to the base of 36, the columns
 * from 180° W eastwards at which sea turns to land or land to sea. Made by tests/make-land-table.ts, which says how, from
 * Natural Earth 1:50 million land (public domain), as world-atlas 2.0.2 holds it.
 */
export const landRows: readonly string[] = [
${rows.map((row) => `\t'${row}',`).join('\n')}
];
`;
writeFileSync(join(import.meta.dirname, '../shared/core/geodesy/land-table.ts'), text);

/** Parts of a country no farther apart than this share one box. */
const APART = 3;

const countryAtlas = atlas('countries-50m.json');
const countryRing = ringsFrom(countryAtlas);
const parts = new Map<string, Box[]>();
for (const country of countryAtlas.objects.countries?.geometries ?? []) {
	// Nobody sprays fields in Antarctica (10).
	if (country.id === undefined || country.id === '010') continue;
	// The atlas has the numbers of ISO 3166-1; the platform knows the letters to them.
	const code = new Intl.Locale(`und-${country.id}`).region ?? '';
	const polygons = country.type === 'Polygon' ? [country.arcs] : country.arcs;
	for (const [outer = []] of polygons) parts.set(code, withBox(parts.get(code) ?? [], boxOf(countryRing(outer))));
}
const boxes = [...parts].map(([code, all]) => {
	const outward = ([west, south, east, north]: Box) =>
		[down(west), down(south), -down(-east), -down(-north)].map((degrees) => degrees.toFixed(1)).join(' ');
	return `${code} | ${all.map(outward).sort().join(' | ')}`;
});
function down(degrees: number): number {
	return Math.floor(degrees * 10) / 10;
}
/** A country on the antimeridian stays in one piece: its longitudes run on past 180. */
function boxOf(ring: readonly Point[]): Box {
	const [start = 0] = ring[0] ?? [];
	const lons = ring.map(([lon]) => lon - Math.round((lon - start) / 360) * 360);
	const lats = ring.map(([, lat]) => lat);
	return [Math.min(...lons), Math.min(...lats), Math.max(...lons), Math.max(...lats)];
}
/** One more box, joined with those it is near to until none is near another. */
function withBox(all: readonly Box[], box: Box): Box[] {
	const near = all.filter((one) => isNear(one, box));
	if (near.length === 0) return [...all, box];
	const joined = near.reduce(
		(one, other): Box => [
			Math.min(one[0], other[0]),
			Math.min(one[1], other[1]),
			Math.max(one[2], other[2]),
			Math.max(one[3], other[3]),
		],
		box,
	);
	return withBox(
		all.filter((one) => !near.includes(one)),
		joined,
	);
}
function isNear(one: Box, other: Box): boolean {
	return (
		one[0] - other[2] <= APART && other[0] - one[2] <= APART && one[1] - other[3] <= APART && other[1] - one[3] <= APART
	);
}
const countries = `/**
 * Where countries lie, as boxes in degrees (west south east north): ISO 3166-1 code and one box for each part of the country
 * that lies more than 3° from the others. Made by tests/make-land-table.ts from Natural Earth 1:50 million countries (public
 * domain), as world-atlas 2.0.2 holds them.
 */
export const countryTable = \`
${boxes.sort().join('\n')}
\`;
`;
writeFileSync(join(import.meta.dirname, '../shared/core/geodesy/country-table.ts'), countries);
