import { ClipperOffset, EndType, JoinType } from 'clipper2-ts';
import { ok, type Result } from '../../basics/result.ts';
import type { Metres, SquareMetres } from '../../units/quantity.ts';
import { readBoundary, type UncheckedGeometry } from './boundary.ts';
import { distanceTo } from './edge-meetings.ts';
import type { PlaneOutline } from './laid-ground.ts';
import { planeOf } from './local-plane.ts';
import {
	GRID_M,
	joined,
	outlinesOf,
	type PlaneRegion,
	regionArea,
	regionOf,
	shared,
	subtract,
} from './plane-region.ts';

/** Fields that lie no further apart touch: a cut between them leaves less. */
const TOUCH_WITHIN_M: Metres = 5e-3;
/** A lane, a hedge or a ditch between neighbours is no wider; wider ground is no gap but other land. Common practice. */
const WIDEST_GAP_M: Metres = 30;
/** Less lies between fields that face each other only with a corner. Common practice. */
const LEAST_GAP_M2: SquareMetres = 100;

/** Ground between fields that do not touch. */
export type Gap = {
	/** The shortest way from one to another. */
	readonly narrowestM: Metres;
	/** The same of the one that lies furthest from the others; of two fields the same figure. */
	readonly furthestM: Metres;
	/** Ground between them that is up to 30 m wide and no part of them; null where there is none so narrow. */
	readonly areaM2: SquareMetres | null;
};

/**
 * The ground between several fields; null where each touches another of them.
 *
 *   gap = (all fields, closed over 30 m) − (each field or touching group, closed over 30 m)
 *
 * To close ground over a width is to grow it by half of that and draw it in again: what is narrower fills up. Plane areas
 * and lengths. Refuses `geometry.invalid` as `readBoundary` does.
 */
export function gapBetween(boundaries: readonly UncheckedGeometry[]): Result<Gap | null> {
	const fields = [];
	for (const boundary of boundaries) {
		const read = readBoundary(boundary);
		if (!read.ok) return read;
		fields.push(read.value);
	}
	const plane = planeOf(fields.flat());
	let groups: PlaneRegion[] = [];
	for (const field of fields) {
		const region = regionOf(field, plane);
		const touching = groups.filter((group) => distanceBetween(region, group) <= TOUCH_WITHIN_M);
		const together = joined([region, ...touching].flat());
		groups = [...groups.filter((group) => !touching.includes(group)), together];
	}
	if (groups.length < 2) return ok(null);
	const nearest = groups.map((group) =>
		Math.min(...groups.filter((other) => other !== group).map((other) => distanceBetween(group, other))),
	);
	const [narrowestM, furthestM] = [Math.min(...nearest), Math.max(...nearest)];
	const neighbours = narrowestM < WIDEST_GAP_M;
	const gap = neighbours ? subtract(closed(joined(groups.flat())), joined(groups.flatMap(closed))) : [];
	const areaM2 = regionArea(gap);
	return ok({ narrowestM, furthestM, areaM2: areaM2 < LEAST_GAP_M2 ? null : areaM2 });
}

function closed(region: PlaneRegion): PlaneRegion {
	return offset(offset(region, WIDEST_GAP_M / 2), -WIDEST_GAP_M / 2);
}

function offset(region: PlaneRegion, width: Metres): PlaneRegion {
	const by = new ClipperOffset();
	by.addPaths(region, JoinType.Round, EndType.Polygon);
	const grown: PlaneRegion = [];
	by.execute(width / GRID_M, grown);
	return grown;
}

/** The shortest way from one to the other; nought where they overlap. It begins at a corner of one of them. */
function distanceBetween(one: PlaneRegion, other: PlaneRegion): Metres {
	if (shared(one, other).length > 0) return 0;
	const [outlines, others] = [outlinesOf(one), outlinesOf(other)];
	return Math.min(fromCorners(outlines, others), fromCorners(others, outlines));
}

function fromCorners(outlines: readonly PlaneOutline[], to: readonly PlaneOutline[]): Metres {
	const edges = to.flatMap(({ points }) =>
		points.map((from, at) => ({ from, to: points[(at + 1) % points.length] ?? from })),
	);
	let nearest = Number.POSITIVE_INFINITY;
	for (const { points } of outlines)
		for (const point of points) for (const edge of edges) nearest = Math.min(nearest, distanceTo(edge, point));
	return nearest;
}
