import type { Metres, SquareMetres } from '../../units/quantity.ts';
import type { Part } from './boundary.ts';
import { type LocalPlane, type PlanePoint, planeOf } from './local-plane.ts';

/** Points nearer than this are one point. */
export const SAME_POINT_M = 1e-3;
/** A part on the plane: rings without repeated points, each point with its number in the boundary. */
export type PlaneRing = readonly { readonly point: PlanePoint; readonly vertex: number }[];
/** A boundary laid out on the plane about its middle. */
export type LaidBoundary = {
	readonly parts: readonly Part[];
	readonly rings: readonly { readonly part: number; readonly ring: number; readonly points: PlaneRing }[];
	readonly plane: LocalPlane;
	readonly several: boolean;
};

/** Lays a boundary out, leaving repeated points aside. */
export function layOut(parts: readonly Part[], several: boolean): LaidBoundary {
	const plane = planeOf(parts);
	const rings = parts.flatMap((part, partIndex) =>
		part.map((ring, ringIndex) => {
			const points: { point: PlanePoint; vertex: number }[] = [];
			let before: PlanePoint | undefined;
			for (let vertex = 0; vertex < ring.length; vertex++) {
				const point = plane.toPlane(ring[vertex] ?? []);
				if (before && distance(before, point) < SAME_POINT_M) continue;
				points.push({ point, vertex });
				before = point;
			}
			while (points.length > 1 && distance(points[0]?.point, points[points.length - 1]?.point) < SAME_POINT_M)
				points.pop();
			return { part: partIndex, ring: ringIndex, points };
		}),
	);
	return { parts, rings, plane, several };
}

/** Plane area of a part as its rings stand: the outer ring's minus the holes'. */
export function drawnArea({ rings }: LaidBoundary, part: number): SquareMetres {
	return rings
		.filter((it) => it.part === part)
		.reduce((sum, { ring, points }) => {
			const m2 = Math.abs(shoelace(points.map(({ point }) => point)));
			return sum + (ring === 0 ? m2 : -m2);
		}, 0);
}

/** What a ring encloses: positive where it runs counter-clockwise. */
export function shoelace(points: readonly PlanePoint[]): SquareMetres {
	const origin = points[0] ?? { x: 0, y: 0 };
	let twice = 0;
	let before = points[points.length - 1] ?? origin;
	for (const point of points) {
		twice += (before.x - origin.x) * (point.y - origin.y) - (before.y - origin.y) * (point.x - origin.x);
		before = point;
	}
	return twice / 2;
}

/** Distance between two points; 0 where one is missing. */
export function distance(one: PlanePoint | undefined, other: PlanePoint | undefined): Metres {
	return one && other ? Math.sqrt((one.x - other.x) ** 2 + (one.y - other.y) ** 2) : 0;
}
