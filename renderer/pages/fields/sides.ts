import type { LooseBoundary } from '../../map/boundary.ts';

/** One edge of a boundary: from a vertex to the next, as `fields.addStrip` names it. */
export type Edge = { readonly part: number; readonly ring: number; readonly edge: number };
type Point = readonly [number, number];

/** A side as a person sees it: a run of edges between two corners. */
export type Side = {
	readonly letter: string;
	readonly edges: readonly Edge[];
	readonly lengthM: number;
	readonly faces: string;
	readonly hole: boolean;
};

/** Where the boundary turns by more than this, a new side begins. Common practice; a choice of display only. */
const CORNER_DEGREES = 32;
const METRES_PER_DEGREE = 111_320;
const WINDS = ['east', 'north-east', 'north', 'north-west', 'west', 'south-west', 'south', 'south-east'] as const;

/**
 * The sides of a field in plane metres, lettered from A through all its parts. Rings are counted within their part, as the
 * register counts them.
 */
export function sidesOf(boundary: LooseBoundary): Side[] {
	const rings = ringsOf(boundary);
	const origin = rings[0]?.points[0] ?? [0, 0];
	const sides = rings.flatMap(({ points, part, ring }) =>
		sidesOfRing(
			points.map((point) => plane(point, origin)),
			{ part, ring },
		),
	);
	return sides.map((side, index) => ({ ...side, letter: letterOf(index) }));
}

/** Every edge by itself, numbered from 1. */
export function edgesOf(boundary: LooseBoundary): Side[] {
	const rings = ringsOf(boundary);
	const origin = rings[0]?.points[0] ?? [0, 0];
	const edges = rings.flatMap(({ points, part, ring }) => {
		const flat = points.map((point) => plane(point, origin));
		const orientation = Math.sign(signedArea(flat)) || 1;
		return Array.from({ length: points.length - 1 }, (_, edge) => sideOf(flat, [edge], { part, ring }, orientation));
	});
	return edges.map((side, index) => ({ ...side, letter: String(index + 1) }));
}

export function edgeKey({ part, ring, edge }: Edge): string {
	return `${part}/${ring}/${edge}`;
}

/** The points of edges that follow each other, in longitude and latitude. */
export function pointsAlong(boundary: LooseBoundary, edges: readonly Edge[]): Point[] {
	const rings = new Map(ringsOf(boundary).map(({ points, part, ring }) => [`${part}/${ring}`, points]));
	const at = ({ part, ring, edge }: Edge, add: number) => rings.get(`${part}/${ring}`)?.[edge + add] ?? [0, 0];
	const last = edges.at(-1);
	return last ? [...edges.map((edge) => at(edge, 0)), at(last, 1)] : [];
}

type RingName = { readonly part: number; readonly ring: number };
type Ring = RingName & { readonly points: readonly Point[] };

function ringsOf(boundary: LooseBoundary): Ring[] {
	const polygons = (
		boundary.type === 'Polygon' ? [boundary.coordinates] : boundary.coordinates
	) as readonly (readonly (readonly Point[])[])[];
	return polygons.flatMap((polygon, part) => polygon.map((points, ring) => ({ points, part, ring })));
}

/** Plane metres round the first vertex: good enough to draw a field and to give its sides' lengths. */
function plane(point: Point, origin: Point): Point {
	const shrink = Math.cos((origin[1] * Math.PI) / 180);
	return [(point[0] - origin[0]) * METRES_PER_DEGREE * shrink, (point[1] - origin[1]) * METRES_PER_DEGREE];
}

function sidesOfRing(points: readonly Point[], ring: RingName): Omit<Side, 'letter'>[] {
	const many = points.length - 1;
	if (many < 3) return [];
	const first = Math.max(0, corners(points, many)[0] ?? 0);
	const isCorner = new Set(corners(points, many));
	const runs: number[][] = [];
	for (let step = 0; step < many; step++) {
		const edge = (first + step) % many;
		if (step === 0 || isCorner.has(edge)) runs.push([edge]);
		else runs.at(-1)?.push(edge);
	}
	const orientation = Math.sign(signedArea(points)) || 1;
	return runs.map((run) => sideOf(points, run, ring, orientation));
}

/** Vertices at which a new side begins. */
function corners(points: readonly Point[], many: number): number[] {
	return Array.from({ length: many }, (_, index) => index).filter((index) => {
		const before = points[(index + many - 1) % many];
		const here = points[index];
		const after = points[(index + 1) % many];
		return before && here && after ? turn(before, here, after) > CORNER_DEGREES : false;
	});
}

function turn(before: Point, here: Point, after: Point): number {
	const into = Math.atan2(here[1] - before[1], here[0] - before[0]);
	const out = Math.atan2(after[1] - here[1], after[0] - here[0]);
	const degrees = Math.abs(((out - into) * 180) / Math.PI) % 360;
	return Math.min(degrees, 360 - degrees);
}

function sideOf(
	points: readonly Point[],
	run: readonly number[],
	{ part, ring }: RingName,
	orientation: number,
): Omit<Side, 'letter'> {
	const line = [...run.map((edge) => points[edge] ?? [0, 0]), points[(run.at(-1) ?? 0) + 1] ?? [0, 0]] as Point[];
	const lengthM = line.slice(1).reduce((sum, point, index) => sum + distance(line[index] ?? point, point), 0);
	const [from = [0, 0], to = [0, 0]] = [line[0], line.at(-1)];
	const along = Math.atan2(to[1] - from[1], to[0] - from[0]);
	const hole = ring > 0;
	const outward = along - (orientation * Math.PI) / 2 + (hole ? Math.PI : 0);
	const wind = WINDS[((Math.round(outward / (Math.PI / 4)) % 8) + 8) % 8] ?? 'north';
	return { edges: run.map((edge) => ({ part, ring, edge })), lengthM, faces: wind, hole };
}

function distance(a: Point, b: Point): number {
	return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function signedArea(points: readonly Point[]): number {
	return points.slice(1).reduce((sum, point, index) => {
		const before = points[index] ?? point;
		return sum + before[0] * point[1] - point[0] * before[1];
	}, 0);
}

/** A … Z, then AA, AB, … */
function letterOf(index: number): string {
	const letter = String.fromCharCode(65 + (index % 26));
	return index < 26 ? letter : `${letterOf(Math.floor(index / 26) - 1)}${letter}`;
}
