import { isInRegion, type RegionBox } from '../geometry/region-box.ts';
import { countryTable } from './country-table.ts';

/** Coasts and borders of the table are coarse. Degrees. */
const MARGIN = 0.3;

const boxesOf = new Map(countryTable.split('\n').filter(Boolean).map(readRow));

/** ISO 3166-1 codes of the countries that are known. */
export const countryCodes: readonly string[] = [...boxesOf.keys()];

/**
 * Whether a place may lie in a country, by its ISO 3166-1 code: in one of the boxes around its parts. Degrees; longitudes may
 * run past 180. "No" is certain to some 30 km; "yes" holds for the neighbours within the box as well.
 */
export function mayLieIn(country: string, lon: number, lat: number): boolean {
	return boxesOf.get(country)?.some((box) => isInRegion(lon, lat, box)) ?? false;
}

function readRow(row: string): [string, RegionBox[]] {
	const [code = '', ...boxes] = row.split(' | ');
	return [
		code,
		boxes.map((box): RegionBox => {
			const [west = 0, south = 0, east = 0, north = 0] = box.split(' ').map(Number);
			return [west - MARGIN, south - MARGIN, east + MARGIN, north + MARGIN];
		}),
	];
}
