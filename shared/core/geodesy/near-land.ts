import { landRows } from './land-table.ts';

/** Squares of the table to a degree. */
const PER_DEGREE = 2;
const COLUMNS = 360 * PER_DEGREE;

/**
 * Whether a place lies on land or near it. Degrees; longitudes may run past 180.
 *
 * Coarse on purpose: squares of half a degree, and the land grown by one square all round, so that "no" means at least
 * half a degree of open sea, 55 km north and south and 28 km east and west at 60°. No field on a coast is taken for sea;
 * islands too small for a map of 1 : 50 million are. It leaves impossible reference systems out and warns; it proves nothing right.
 * Source: Natural Earth 1 : 50 million land, public domain (`land-table.ts`).
 */
export function isNearLand(lon: number, lat: number): boolean {
	const row = landRows[Math.min(landRows.length - 1, Math.floor((90 - lat) * PER_DEGREE))];
	if (!row) return false;
	const column = (((Math.floor((lon + 180) * PER_DEGREE) % COLUMNS) + COLUMNS) % COLUMNS) | 0;
	const changes = row.split(' ').filter((change) => Number.parseInt(change, 36) <= column).length;
	return changes % 2 === 1;
}
