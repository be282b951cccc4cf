/** Whether two boundaries are the same points, in whatever direction and from whatever point their rings are written. */
export type Position = readonly [lon: number, lat: number, ...rest: number[]];
type Ring = readonly Position[];

/** About a millimetre on the ground: file formats round their degrees. */
const SAME_DEGREES = 1e-8;

/** Parts and rings in the same order, each with the same points; degrees. */
export function sameBoundary(one: readonly (readonly Ring[])[], other: readonly (readonly Ring[])[]): boolean {
	return alike(one, other, (part, otherPart) => alike(part, otherPart, sameRing));
}

function sameRing(one: Ring, other: Ring): boolean {
	return alike(inOneOrder(one), inOneOrder(other), ([lon, lat], [otherLon, otherLat]) =>
		[lon - otherLon, lat - otherLat].every((apart) => Math.abs(apart) <= SAME_DEGREES),
	);
}

function alike<Item>(one: readonly Item[], other: readonly Item[], same: (one: Item, other: Item) => boolean): boolean {
	return one.length === other.length && one.every((item, at) => same(item, other[at] as Item));
}

/** Without the point that closes it, from its westernmost point on, towards the southern of its two neighbours. */
function inOneOrder(ring: Ring): Ring {
	const [first, last] = [ring[0], ring.at(-1)];
	const closed = first && last && first[0] === last[0] && first[1] === last[1];
	const points = closed ? ring.slice(0, -1) : ring;
	const west = points.reduce((least, point, at) => (point[0] < (points[least]?.[0] ?? 0) ? at : least), 0);
	const turned = [...points.slice(west), ...points.slice(0, west)];
	const [start, ...rest] = turned;
	if (!start) return [];
	return (rest[0]?.[1] ?? 0) <= (rest.at(-1)?.[1] ?? 0) ? turned : [start, ...rest.reverse()];
}
