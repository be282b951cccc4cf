import type { Part } from './boundary.ts';
import type { BoundaryFinding } from './boundary-finding.ts';

/** Degrees; west may be numerically above east for a region across 180°. */
export type RegionBox = readonly [west: number, south: number, east: number, north: number];

/** Whether a place lies in a region. */
export function isInRegion(lon: number, lat: number, [west, south, east, north]: RegionBox): boolean {
	const width = east - west >= 360 ? 360 : turn(east - west);
	return lat >= south && lat <= north && turn(lon - west) <= width;
}

/** The first point outside the region, and whether longitude and latitude look exchanged. */
export function outsideRegion(parts: readonly Part[], region: RegionBox): BoundaryFinding[] {
	for (const [part, rings] of parts.entries()) {
		for (const [vertex, [lon = 0, lat = 0]] of (rings[0] ?? []).entries()) {
			if (isInRegion(lon, lat, region)) continue;
			const exchanged = Math.abs(lon) <= 90 && isInRegion(lat, lon, region);
			const hint = exchanged ? '; with longitude and latitude exchanged it would lie inside: are they swapped?' : '';
			const say = `point ${vertex + 1} (${lon}, ${lat}) lies outside the region of the file${hint}`;
			return [{ kind: 'outside region', part, ring: 0, vertex, at: [lon, lat], say }];
		}
	}
	return [];
}

/** An angle as 0° up to 360°. */
function turn(degrees: number): number {
	return ((degrees % 360) + 360) % 360;
}
