import type { Path64 } from 'clipper2-ts';

/** A box on the clipping grid. */
export type GridBox = { readonly west: number; readonly south: number; readonly east: number; readonly north: number };

export function boxOfPaths(paths: readonly Path64[]): GridBox {
	let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
	for (const path of paths) {
		for (const { x, y } of path) {
			if (x < west) west = x;
			if (x > east) east = x;
			if (y < south) south = y;
			if (y > north) north = y;
		}
	}
	return { west, south, east, north };
}

/** What two boxes share; upside down where they share nothing. */
export function sharedBox(one: GridBox, other: GridBox): GridBox {
	return {
		west: Math.max(one.west, other.west),
		south: Math.max(one.south, other.south),
		east: Math.min(one.east, other.east),
		north: Math.min(one.north, other.north),
	};
}

/** Area of a box in squares of the grid; 0 for one upside down. */
export function boxArea({ west, south, east, north }: GridBox): number {
	return Math.max(0, east - west) * Math.max(0, north - south);
}

/**
 * The paths' ground within a box, counted from the box's corner. Where an outline leaves the box it runs on along its side:
 * that encloses nothing, so areas and what is shared with other ground stay right.
 * Source: Sutherland & Hodgman, Reentrant polygon clipping, Communications of the ACM 17 (1974) 32–42.
 */
export function clipToBox(paths: readonly Path64[], { west, south, east, north }: GridBox): Path64[] {
	return paths.flatMap((path) => {
		const own = boxOfPaths([path]);
		let left = path;
		if (own.west < west) left = cut(left, (point) => point.x - west);
		if (own.east > east) left = cut(left, (point) => east - point.x);
		if (own.south < south) left = cut(left, (point) => point.y - south);
		if (own.north > north) left = cut(left, (point) => north - point.y);
		return left.length < 3 ? [] : [left.map(({ x, y }) => ({ x: x - west, y: y - south, z: 0 }))];
	});
}

/** The part of a path on the inner side of a line, where `inside` is not negative. */
function cut(path: Path64, inside: (point: Path64[number]) => number): Path64 {
	const kept: Path64 = [];
	let before = path[path.length - 1];
	if (!before) return kept;
	let wasInside = inside(before);
	for (const point of path) {
		const isInside = inside(point);
		if (wasInside >= 0 !== isInside >= 0) {
			const share = wasInside / (wasInside - isInside);
			const x = Math.round(before.x + share * (point.x - before.x));
			kept.push({ x, y: Math.round(before.y + share * (point.y - before.y)), z: 0 });
		}
		if (isInside >= 0) kept.push(point);
		[before, wasInside] = [point, isInside];
	}
	return kept;
}
