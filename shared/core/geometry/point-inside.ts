import type { Part, Position } from './boundary.ts';
import { shortWay } from './unrolled-ring.ts';

/** Heights of the lines looked along, as shares of the part's extent north and south. */
const LINES = [0.5, 0.25, 0.75] as const;

/**
 * A place that surely lies on the ground of a boundary: the middle of the longest stretch of it along three lines east
 * and west, holes left out. A centre of gravity may lie outside a field that bends. Longitude and latitude as given;
 * null where there is no ground.
 */
export function pointInside(parts: readonly Part[]): Position | null {
	let widest: { readonly width: number; readonly lon: number; readonly lat: number } | null = null;
	for (const part of parts) {
		const outer = part[0] ?? [];
		const origin = outer[0]?.[0] ?? 0;
		const lats = outer.map(([, lat = 0]) => lat);
		const [south, north] = [Math.min(...lats), Math.max(...lats)];
		for (const share of LINES) {
			const lat = south + share * (north - south);
			const crossed = crossings(part, { lat, origin });
			for (let index = 0; index + 1 < crossed.length; index += 2) {
				const [west = 0, east = 0] = crossed.slice(index, index + 2);
				if (east - west > (widest?.width ?? 0)) {
					widest = { width: east - west, lon: shortWay(origin + (west + east) / 2), lat };
				}
			}
		}
	}
	return widest === null ? null : [widest.lon, widest.lat];
}

/** Where the edges of all rings cross a parallel, degrees east of the origin, from west to east. */
function crossings(part: Part, { lat, origin }: { readonly lat: number; readonly origin: number }): number[] {
	const found: number[] = [];
	for (const ring of part) {
		for (const [index, [lonA = 0, latA = 0]] of ring.entries()) {
			const [lonB = 0, latB = 0] = ring[(index + 1) % ring.length] ?? [];
			if (latA <= lat === latB <= lat) continue;
			const from = shortWay(lonA - origin);
			found.push(from + (shortWay(lonB - origin) - from) * ((lat - latA) / (latB - latA)));
		}
	}
	return found.sort((a, b) => a - b);
}
