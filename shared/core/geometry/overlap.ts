import { ok, type Result } from '../../basics/result.ts';
import type { SquareMetres } from '../../units/quantity.ts';
import { type Part, type Position, readBoundary, type UncheckedGeometry } from './boundary.ts';
import { type Box, boxIndex } from './box-index.ts';
import { edgeMeetings } from './edge-meetings.ts';
import { RADIANS_PER_DEGREE } from './ellipsoid.ts';
import { layOut } from './laid-boundary.ts';
import { type LaidGround, layGround, sharedArea } from './laid-ground.ts';
import { type LocalPlane, localPlane, planeOf } from './local-plane.ts';
import { outlinesOf, regionArea, regionOf, shared } from './plane-region.ts';
import { shortWay } from './unrolled-ring.ts';

/** A field of the register, or one about to come in; `simple` where no ring is known to cross or touch another or itself. */
export type OverlapField = { readonly id: string; readonly geometry: UncheckedGeometry; readonly simple?: boolean };
/** Two fields that share ground; `same` when they are the same boundary. */
export type Overlap = {
	readonly one: string;
	readonly other: string;
	readonly m2: SquareMetres;
	readonly same: boolean;
};

/** Neighbours' edges, digitised twice, overlap by this much without anyone's error. Common practice. */
export const DEFAULT_LEAST_OVERLAP_M2 = 100;
/** 1e-9° is a tenth of a millimetre: the same boundary written twice may differ by that. */
const DIGITS_PER_DEGREE = 1e9;

/**
 * Ground two boundaries share, in m². Neighbours that share an edge share no ground.
 * Refuses `geometry.invalid` as `readBoundary` does.
 */
export function overlapM2(one: UncheckedGeometry, other: UncheckedGeometry): Result<SquareMetres> {
	const first = readBoundary(one);
	if (!first.ok) return first;
	const second = readBoundary(other);
	if (!second.ok) return second;
	const apart = !boxesMeet(boxOf(first.value), boxOf(second.value));
	return ok(apart ? 0 : sharedGround(first.value, second.value));
}

/** Whether two boundaries have the same rings, wherever each starts and whichever way it runs. */
export function isSameBoundary(one: UncheckedGeometry, other: UncheckedGeometry): boolean {
	const first = readBoundary(one);
	const second = readBoundary(other);
	return first.ok && second.ok && boundaryKey(first.value) === boundaryKey(second.value);
}

type OverlapOptions = { readonly leastM2?: SquareMetres; readonly among?: ReadonlySet<string> };

/** Takes fields one by one, each compared with those before it; `found` gives the pairs in the order they were taken. */
export type OverlapWatch = { readonly take: (field: OverlapField) => void; readonly found: () => Overlap[] };

/**
 * Pairs of fields that share at least `leastM2` of ground, each pair once, in the order of the list.
 *
 * With `among` left out every field is compared with every other; else only those in `among` with all (an import against
 * the register). Only fields whose boxes meet are compared. Fields that cannot be measured are passed over: `measure` says
 * why.
 */
export function findOverlaps(fields: readonly OverlapField[], options: OverlapOptions = {}): Overlap[] {
	const watch = watchOverlaps(options);
	for (const field of fields) watch.take(field);
	return watch.found();
}

/** As `findOverlaps`, for fields that are still being read. */
export function watchOverlaps({ leastM2 = DEFAULT_LEAST_OVERLAP_M2, among }: OverlapOptions = {}): OverlapWatch {
	const planeAt = planesOfNeighbourhoods();
	const nearby = boxIndex<Candidate>();
	const layer = groundLayer();
	const found: (Overlap & { readonly order: readonly [number, number] })[] = [];
	let taken = 0;
	const compare = (one: Candidate, other: Candidate) => {
		if (!(one.asked || other.asked) || !boxesMeet(one.box, other.box)) return;
		const alike = boxesEqual(one.box, other.box);
		if (!alike && sharedBoxM2(one.box, other.box) < leastM2) return;
		const m2 = sharedArea(layer.groundOf(one, one.plane), layer.groundOf(other, one.plane));
		const same = alike && boundaryKey(partsOf(one)) === boundaryKey(partsOf(other));
		if (!same && m2 < leastM2) return;
		found.push({ one: one.field.id, other: other.field.id, m2, same, order: [one.order, other.order] });
	};
	return {
		take: (field) => {
			const order = taken++;
			const boundary = readBoundary(field.geometry);
			if (!boundary.ok) return;
			const box = boxOf(boundary.value);
			const next = { field, order, box, plane: planeAt(box), asked: !among || among.has(field.id), laid: [] };
			for (const before of nearby.meet(box)) compare(before, next);
			nearby.add(box, next);
		},
		found: () => {
			found.sort((one, other) => one.order[0] - other.order[0] || one.order[1] - other.order[1]);
			return found.map(({ one, other, m2, same }) => ({ one, other, m2, same }));
		},
	};
}

function sharedGround(one: readonly Part[], other: readonly Part[]): SquareMetres {
	const plane = planeOf(one);
	return regionArea(shared(regionOf(one, plane), regionOf(other, plane)));
}

/** A field with its box, the plane of its neighbourhood, and its ground on each plane it was needed on so far. */
type Candidate = {
	readonly field: OverlapField;
	readonly order: number;
	readonly box: Box;
	readonly plane: LocalPlane;
	readonly asked: boolean;
	laid: { readonly plane: LocalPlane; readonly ground: LaidGround }[];
};

/** The parts are read anew where they are needed: all fields' at once would fill the memory. */
function partsOf({ field }: Candidate): readonly Part[] {
	const boundary = readBoundary(field.geometry);
	return boundary.ok ? boundary.value : [];
}

/** Degrees: all fields of a neighbourhood are laid out on one plane, each once. */
const NEIGHBOURHOOD = 0.05;

function planesOfNeighbourhoods(): (box: Box) => LocalPlane {
	const planes = new Map<string, LocalPlane>();
	return ({ middle, south, north }) => {
		const column = Math.floor(middle / NEIGHBOURHOOD);
		const row = Math.floor((south + north) / 2 / NEIGHBOURHOOD);
		const key = `${column} ${row}`;
		const plane = planes.get(key) ?? localPlane([(column + 0.5) * NEIGHBOURHOOD, (row + 0.5) * NEIGHBOURHOOD]);
		planes.set(key, plane);
		return plane;
	};
}

/** Numbers of laid ground that are kept, 32 MB; neighbours mostly stand near each other in a file. */
const MOST_LAID = 4_000_000;

/** Lays boundaries out on a plane, once for each while there is room; then all that was laid is let go. */
function groundLayer(): { readonly groundOf: (what: Candidate, plane: LocalPlane) => LaidGround } {
	let holders: Candidate[] = [];
	let numbers = 0;
	return {
		groundOf: (what, plane) => {
			for (const known of what.laid) if (known.plane === plane) return known.ground;
			const ground = layOn(plane, what);
			if (numbers > MOST_LAID) {
				for (const holder of holders) holder.laid = [];
				[holders, numbers] = [[], 0];
			}
			numbers += ground.trapezoids.length;
			holders.push(what);
			what.laid.push({ plane, ground });
			return ground;
		},
	};
}

/** Loops that cross are first made into outlines that do not. */
function layOn(plane: LocalPlane, what: Candidate): LaidGround {
	const parts = partsOf(what);
	const { simple = isSimple(parts) } = what.field;
	if (!simple) return layGround(outlinesOf(regionOf(parts, plane)));
	return layGround(
		parts.flatMap((rings) => rings.map((ring, index) => ({ points: ring.map(plane.toPlane), isHole: index > 0 }))),
	);
}

/** One ring that does not meet itself. Of several rings it takes as long to find out as to lay them out. */
function isSimple(parts: readonly Part[]): boolean {
	const plain = parts.length === 1 && parts[0]?.length === 1;
	return plain && edgeMeetings(layOut(parts, false).rings, 1).length === 0;
}

function boxOf(parts: readonly Part[]): Box {
	const origin = parts[0]?.[0]?.[0]?.[0] ?? 0;
	let [west, east, south, north] = [0, 0, 90, -90];
	for (const rings of parts) {
		for (const [lon = 0, lat = 0] of rings[0] ?? []) {
			const offset = shortWay(lon - origin);
			west = Math.min(west, offset);
			east = Math.max(east, offset);
			south = Math.min(south, lat);
			north = Math.max(north, lat);
		}
	}
	return { south, north, middle: origin + (west + east) / 2, halfWidth: (east - west) / 2 };
}

function boxesMeet(one: Box, other: Box): boolean {
	if (one.south > other.north || other.south > one.north) return false;
	return Math.abs(shortWay(one.middle - other.middle)) <= one.halfWidth + other.halfWidth;
}

/** The longest degree of the meridian, at a pole: 111 694 m. Source: radii of curvature of WGS 84. */
const LONGEST_DEGREE_M = 111_694;

/** Ground both boxes cover, or a little more: what two boundaries share cannot be more than that. */
function sharedBoxM2(one: Box, other: Box): SquareMetres {
	const [south, north] = [Math.max(one.south, other.south), Math.min(one.north, other.north)];
	const apart = Math.abs(shortWay(one.middle - other.middle));
	const width = Math.min(one.halfWidth + other.halfWidth - apart, 2 * one.halfWidth, 2 * other.halfWidth);
	const nearestEquator = south <= 0 && north >= 0 ? 0 : Math.min(Math.abs(south), Math.abs(north));
	return (north - south) * width * LONGEST_DEGREE_M ** 2 * Math.cos(nearestEquator * RADIANS_PER_DEGREE);
}

/** Whether two boxes could be those of one boundary. */
function boxesEqual(one: Box, other: Box): boolean {
	const slack = 4 / DIGITS_PER_DEGREE;
	return Math.abs(one.south - other.south) <= slack && Math.abs(one.north - other.north) <= slack;
}

/** Text that is equal for equal boundaries: rings turned to start at their least point, drawn one way, and sorted. */
function boundaryKey(parts: readonly Part[]): string {
	return parts
		.map((rings) => {
			const [outer = [], ...holes] = rings;
			return [ringKey(outer), ...holes.map(ringKey).sort()].join('/');
		})
		.sort()
		.join('//');
}

function ringKey(ring: readonly Position[]): string {
	const points = ring.map(([lon = 0, lat = 0]) => {
		const east = Math.round(shortWay(lon) * DIGITS_PER_DEGREE);
		return `${east === -180 * DIGITS_PER_DEGREE ? -east : east},${Math.round(lat * DIGITS_PER_DEGREE)}`;
	});
	const [least = ''] = [leastTurn(points), leastTurn(points.toReversed())].sort();
	return least;
}

/** The ring read from its least point on; of several least points, from the one that reads least. */
function leastTurn(points: readonly string[]): string {
	let least = points[0] ?? '';
	for (const point of points) if (point < least) least = point;
	let best: string | null = null;
	for (const [start, point] of points.entries()) {
		if (point !== least) continue;
		const turned = [...points.slice(start), ...points.slice(0, start)].join(' ');
		if (best === null || turned < best) best = turned;
	}
	return best ?? '';
}
