import { expect, test } from 'vitest';
import { edgeKey, edgesOf, pointsAlong, sidesOf } from '../../../renderer/pages/fields/sides.ts';

/** A field of 200 m by 100 m at the equator whose south side has a vertex half way. */
const metre = 1 / 111_320;
const corners = [
	[0, 0],
	[100, 0],
	[200, 0],
	[200, 100],
	[0, 100],
	[0, 0],
].map(([x = 0, y = 0]) => [x * metre, y * metre]);

test('a straight run of edges is one side, and every edge belongs to one', () => {
	const sides = sidesOf({ type: 'Polygon', coordinates: [corners] });
	expect(
		sides.map((side) => [side.letter, Math.round(side.lengthM), side.faces, side.edges.map((edge) => edge.edge)]),
	).toEqual([
		['A', 200, 'south', [0, 1]],
		['B', 100, 'east', [2]],
		['C', 200, 'north', [3]],
		['D', 100, 'west', [4]],
	]);
});

test('the direction a boundary is written in does not turn the sides round', () => {
	const faces = (ring: number[][]) => sidesOf({ type: 'Polygon', coordinates: [ring] }).map((side) => side.faces);
	expect(faces([...corners].reverse()).sort()).toEqual(faces(corners).sort());
});

test('rings are counted within their part, islands among them', () => {
	const hole = corners.map(([x = 0, y = 0]) => [x / 10 + 50 * metre, y / 10 + 50 * metre]).reverse();
	const far = corners.map(([x = 0, y = 0]) => [x + 500 * metre, y]);
	const sides = sidesOf({ type: 'MultiPolygon', coordinates: [[corners, hole], [far]] });
	expect(sides.map((side) => [side.edges[0]?.part, side.edges[0]?.ring, side.hole])).toEqual([
		...Array.from({ length: 4 }, () => [0, 0, false]),
		...Array.from({ length: 4 }, () => [0, 1, true]),
		...Array.from({ length: 4 }, () => [1, 0, false]),
	]);
});

test('single edges are those of the sides, each once, and know their points', () => {
	const boundary = { type: 'Polygon' as const, coordinates: [corners] };
	const edges = edgesOf(boundary);
	expect(edges.map(({ letter, faces }) => `${letter} ${faces}`)).toEqual([
		'1 south',
		'2 south',
		'3 east',
		'4 north',
		'5 west',
	]);
	const keys = (sides: readonly { edges: readonly Parameters<typeof edgeKey>[0][] }[]) =>
		sides.flatMap((side) => side.edges.map(edgeKey)).sort();
	expect(keys(edges)).toEqual(keys(sidesOf(boundary)));
	expect(pointsAlong(boundary, sidesOf(boundary)[0]?.edges ?? [])).toEqual(corners.slice(0, 3));
});
