/**
 * Writes shared/core/geodesy/land-table.ts from a TopoJSON file of the world's land, for example land-50m.json of
 * world-atlas 2.0.2 (Natural Earth 1:50 million, public domain): `node tests/make-land-table.ts land-50m.json`.
 *
 * The world is cut into squares of half a degree. A square is land when a coast runs through it or its middle lies on land;
 * then the land is grown by one square all round, so that no coastal field and no island of the map is lost.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

type Topology = {
	readonly transform: { readonly scale: [number, number]; readonly translate: [number, number] };
	readonly arcs: readonly (readonly (readonly [number, number])[])[];
	readonly objects: { readonly land: { readonly geometries: readonly { readonly arcs: readonly number[][][] }[] } };
};
type Point = readonly [lon: number, lat: number];

const PER_DEGREE = 2;
const [COLUMNS, ROWS] = [360 * PER_DEGREE, 180 * PER_DEGREE];

const { transform, arcs, objects } = JSON.parse(readFileSync(process.argv[2] ?? '', 'utf8')) as Topology;
const lines = arcs.map((arc) => {
	let [x, y] = [0, 0];
	return arc.map(([dx, dy]): Point => {
		[x, y] = [x + dx, y + dy];
		return [x * transform.scale[0] + transform.translate[0], y * transform.scale[1] + transform.translate[1]];
	});
});
const rings = objects.land.geometries.flatMap(({ arcs: polygons }) =>
	polygons.flatMap((polygon) =>
		polygon.map((indices) =>
			(indices as unknown as number[]).flatMap((index) =>
				index < 0 ? (lines[~index] ?? []).toReversed() : (lines[index] ?? []),
			),
		),
	),
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
