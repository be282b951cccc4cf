import { sentenceOf } from '../../basics/problem.ts';
import type { Metres, SquareMetres } from '../../units/quantity.ts';
import { isClosed, type Position, readBoundary, ringName, type UncheckedGeometry } from './boundary.ts';
import type { BoundaryFinding } from './boundary-finding.ts';
import { edgeMeetings, type Meeting } from './edge-meetings.ts';
import { distance, drawnArea, type LaidBoundary, layOut, type PlaneRing } from './laid-boundary.ts';
import { regionArea, regionOf } from './plane-region.ts';
import { outsideRegion, type RegionBox } from './region-box.ts';
import { SLIVER_WIDTH_M } from './repair-boundary.ts';
import { crossingFindings, SCRIBBLE_MEETINGS } from './ring-crossings.ts';
import { tipAt } from './slips-of-the-hand.ts';

const NO_WIDTH_M = 1e-4;
/** Parts of one field lie together; farther apart they are likely two fields under one name. Common practice. */
const FAR_APART_M = 5_000;
/** Enough to find the trouble by. */
const MOST_PER_KIND = 10;

/**
 * What is odd about a boundary, with the place; nothing for a sound one.
 *
 * Finds rings that are open, cross or touch themselves or each other, repeated points, spikes, slivers, parts without area,
 * parts more than 5 km apart, and points outside the region the file is said to be from (west, south, east, north).
 * An odd boundary can still be measured, save for the kinds 'cannot be measured' and 'no area'. For a boundary that crosses
 * itself `m2` is the ground in all its loops: a figure of eight of two hectares has 20,000 m², where its measured area is
 * the difference of the loops.
 */
export function boundaryFindings(
	geometry: UncheckedGeometry,
	{ region }: { readonly region?: RegionBox } = {},
): BoundaryFinding[] {
	const boundary = readBoundary(geometry);
	if (!boundary.ok) {
		const { part, ring, vertex } = boundary.problem.details;
		return [
			{
				kind: 'cannot be measured',
				part: Number(part ?? 0),
				ring: Number(ring ?? 0),
				...(vertex === undefined ? {} : { vertex: Number(vertex) }),
				say: sentenceOf(boundary.problem),
			},
		];
	}
	const laid = layOut(boundary.value, geometry.type === 'MultiPolygon');
	let known: SquareMetres | null = null;
	const covered = () => {
		known ??= regionArea(regionOf(laid.parts, laid.plane));
		return known;
	};
	const meetings = edgeMeetings(laid.rings, SCRIBBLE_MEETINGS);
	return [
		...openRings(geometry, laid),
		...repeatedPoints(laid),
		...spikes(laid),
		...crossingFindings(laid, meetings, covered),
		...narrowParts(laid, meetings, covered),
		...farParts(laid),
		...(region ? outsideRegion(boundary.value, region) : []),
	];
}

function openRings(geometry: UncheckedGeometry, { several }: LaidBoundary): BoundaryFinding[] {
	const parts = (several ? geometry.coordinates : [geometry.coordinates]) as readonly (readonly Position[])[][];
	return parts.flatMap((rings, part) =>
		rings.flatMap((positions, ring): BoundaryFinding[] => {
			if (isClosed(positions)) return [];
			const name = ringName({ several, part, ring });
			return [
				{ kind: 'open ring', part, ring, say: `${name} does not return to its first point; it was closed there` },
			];
		}),
	);
}

function repeatedPoints({ parts, rings, several }: LaidBoundary): BoundaryFinding[] {
	return rings.flatMap(({ part, ring, points }): BoundaryFinding[] => {
		const positions = parts[part]?.[ring] ?? [];
		const repeats = positions.length - points.length;
		if (repeats === 0) return [];
		const kept = new Set(points.map(({ vertex }) => vertex));
		const vertex = positions.findIndex((_, index) => !kept.has(index));
		const name = ringName({ several, part, ring });
		const what = repeats === 1 ? 'a point is repeated' : `${repeats} points are repeated`;
		return [
			{
				kind: 'repeated point',
				part,
				ring,
				vertex,
				...at(positions[vertex]),
				say: `${name}: ${what}, from point ${vertex + 1}`,
			},
		];
	});
}

function spikes({ parts, rings, several }: LaidBoundary): BoundaryFinding[] {
	const found = rings.flatMap(({ part, ring, points }) =>
		points.flatMap(({ point, vertex }, index): BoundaryFinding[] => {
			const before = points[(index + points.length - 1) % points.length]?.point ?? point;
			const after = points[(index + 1) % points.length]?.point ?? point;
			const { isSpike, m2 } = tipAt(before, point, after);
			if (!isSpike) return [];
			const name = ringName({ several, part, ring });
			const say = `${name} runs out to a spike at point ${vertex + 1}`;
			return [{ kind: 'spike', part, ring, vertex, ...at(parts[part]?.[ring]?.[vertex]), m2, say }];
		}),
	);
	return found.slice(0, MOST_PER_KIND);
}

function narrowParts(laid: LaidBoundary, meetings: readonly Meeting[], covered: () => SquareMetres): BoundaryFinding[] {
	return laid.parts.flatMap((rings, part): BoundaryFinding[] => {
		const outer = laid.rings.find((it) => it.part === part && it.ring === 0)?.points ?? [];
		const perimeterM = outer.reduce(
			(sum, { point }, index) => sum + distance(point, outer[(index + 1) % outer.length]?.point),
			0,
		);
		if (meetings.length >= SCRIBBLE_MEETINGS) return [];
		const meets = meetings.some(({ one }) => laid.rings[one.ring]?.part === part);
		const inLoops = () => (laid.parts.length === 1 ? covered() : regionArea(regionOf([rings], laid.plane)));
		const m2 = meets ? inLoops() : Math.max(0, drawnArea(laid, part));
		const widthM: Metres = perimeterM > 0 ? (2 * m2) / perimeterM : 0;
		if (widthM >= SLIVER_WIDTH_M) return [];
		const where = { part, ring: 0, ...at(rings[0]?.[0]) };
		const name = laid.several ? `part ${part + 1}` : 'the boundary';
		if (widthM < NO_WIDTH_M) return [{ kind: 'no area', ...where, m2, say: `${name} encloses no ground` }];
		const size = `${widthM < 0.01 ? '<0.01' : widthM.toFixed(2)} m wide, ${m2.toFixed(1)} m²`;
		return [{ kind: 'sliver', ...where, m2, say: `${name} is a sliver: ${size}` }];
	});
}

function farParts({ parts, rings, plane }: LaidBoundary): BoundaryFinding[] {
	if (parts.length < 2) return [];
	const boxes = parts.map((_, part) => boxOf(rings.find((it) => it.part === part && it.ring === 0)?.points ?? []));
	const found = boxes.flatMap((box, part): BoundaryFinding[] => {
		let nearest = Number.POSITIVE_INFINITY;
		for (const [index, other] of boxes.entries()) {
			if (index === part) continue;
			const gapX = Math.max(0, other.west - box.east, box.west - other.east);
			const gapY = Math.max(0, other.south - box.north, box.south - other.north);
			nearest = Math.min(nearest, Math.hypot(gapX, gapY));
			if (nearest <= FAR_APART_M) return [];
		}
		const say = `part ${part + 1} lies ${(nearest / 1000).toFixed(1)} km from the nearest other part`;
		return [{ kind: 'parts far apart', part, ring: 0, at: plane.toDegrees({ x: box.west, y: box.south }), say }];
	});
	return found.slice(0, MOST_PER_KIND);
}

function boxOf(points: PlaneRing) {
	const box = { west: Number.POSITIVE_INFINITY, south: Number.POSITIVE_INFINITY, east: -Infinity, north: -Infinity };
	for (const { point } of points) {
		box.west = Math.min(box.west, point.x);
		box.east = Math.max(box.east, point.x);
		box.south = Math.min(box.south, point.y);
		box.north = Math.max(box.north, point.y);
	}
	return box;
}

function at(position: Position | undefined): { at: readonly [number, number] } | Record<string, never> {
	return position ? { at: [position[0] ?? 0, position[1] ?? 0] } : {};
}
