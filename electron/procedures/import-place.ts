import type { Result } from '../../shared/basics/result.ts';
import type { ImportReport } from '../../shared/contract/fields-import.ts';
import { isNearLand } from '../../shared/core/geodesy/near-land.ts';
import type { Hectares } from '../../shared/units/quantity.ts';
import type { BoundaryFile, Middle } from '../files/boundary-file.ts';
import { beyondFarm, type FarmGround, fartherFromFarm, kmFromFields } from './farm-ground.ts';
import type { Warning } from './import-records.ts';
import type { GoodRecord } from './match-register.ts';

/** The exchange of the two coordinates of each point, with the area each record has as it stands in the file. */
export type Exchange = {
	readonly offer: NonNullable<ImportReport['exchange']>;
	readonly areasInFile: ReadonlyMap<number, Hectares>;
};

/**
 * Whether the coordinates of a file may stand in the wrong order: where its fields can hardly lie as it stands, and can with
 * longitude and latitude (or easting and northing) exchanged. Then the file is read the other way too, to say what changes.
 * Null where nothing speaks for it and nobody asked.
 */
export async function weighExchange(
	ground: FarmGround,
	{ file, chosen }: { readonly file: BoundaryFile; readonly chosen: boolean },
	readOther: () => Promise<Result<BoundaryFile>>,
): Promise<Exchange | null> {
	const [middle, other] = [commonMiddle(file), file.middleExchanged];
	const [now, turned] = [doubtOf(ground, middle, other), doubtOf(ground, other, middle)];
	const isBetter = turned.weight < now.weight && turned.weight <= BEYOND_FARM;
	if (!chosen && !isBetter) return null;
	const { why } = chosen ? turned : now;
	const read = await readOther();
	if (!read.ok) return null;
	const [asInFile, exchanged] = chosen ? [read.value, file] : [file, read.value];
	const axes = file.areDegrees ? 'longitude and latitude' : 'easting and northing';
	const offer = {
		chosen,
		axes,
		why: why ?? 'it was asked for',
		asInFile: sideOf(ground, asInFile),
		exchanged: sideOf(ground, exchanged),
	} as const;
	const areas = asInFile.records.flatMap(({ record, measured }): [number, Hectares][] =>
		measured ? [[record, measured.areaHa]] : [],
	);
	return { offer, areasInFile: new Map(areas) };
}

type Doubt = { readonly weight: number; readonly why: string | null };

/** A time zone or the fields so far are weak evidence beside the sea. */
const BEYOND_FARM = 1;
/** A grid may hold both places, as Great Britain’s does: then only the fields so far tell them apart. */
const NOT_AMONG_THEM = 0.5;

/** What speaks against a place beside the one with the coordinates exchanged, and how much. */
function doubtOf(ground: FarmGround, middle: Middle | null, other: Middle | null): Doubt {
	if (middle === null) return { weight: 4, why: 'as they stand, the coordinates are no place on earth' };
	if (!middle.isInArea) {
		return { weight: 3, why: 'as they stand, the fields lie outside the area that the reference system is made for' };
	}
	if (!middle.isOnLand) return { weight: 2, why: 'as they stand, the fields lie in the sea' };
	const beyond = beyondFarm(ground, middle);
	if (beyond !== null) return { weight: BEYOND_FARM, why: `as they stand, the fields lie ${beyond}` };
	const km = other && fartherFromFarm(ground, middle, other);
	if (km === null) return { weight: 0, why: null };
	const told = Math.round(km).toLocaleString('en-GB');
	return {
		weight: NOT_AMONG_THEM,
		why: `as they stand, the fields lie ${told} km from the farm’s, exchanged among them`,
	};
}

/** Half of the fields lie on either side: a few records with wild coordinates do not move it. */
function commonMiddle({ middle, records }: BoundaryFile): Middle | null {
	const boxes = records.flatMap(({ boundary }) => boundary ?? []);
	if (boxes.length < records.length / 2) return middle;
	const half = (values: number[]) => values.toSorted((one, other) => one - other)[Math.floor(values.length / 2)] ?? 0;
	const lon = half(boxes.map(({ west, east }) => (west + east) / 2));
	const lat = half(boxes.map(({ south, north }) => (south + north) / 2));
	return { lon, lat, isOnLand: isNearLand(lon, lat), isInArea: middle?.isInArea ?? true };
}

function sideOf(ground: FarmGround, file: BoundaryFile) {
	const middle = commonMiddle(file);
	const measured = file.records.flatMap((record) => (record.measured ? [record.measured.areaHa] : []));
	const km = middle && kmFromFields(ground, middle);
	return {
		lon: middle?.lon ?? null,
		lat: middle?.lat ?? null,
		fields: measured.length,
		totalHa: measured.reduce((sum, areaHa) => sum + areaHa, 0),
		...(km === null ? {} : { kmFromFarm: Math.round(km) }),
	};
}

/** All fields in open sea, or some where the farm is not. */
export function placeWarnings(ground: FarmGround, good: readonly GoodRecord[]): Warning[] {
	const middles = good.map(
		({ boundary: { west, east, south, north } }) => [(west + east) / 2, (south + north) / 2] as const,
	);
	const [[lon, lat] = [0, 0]] = middles;
	if (good.length > 0 && !middles.some((middle) => isNearLand(...middle))) {
		const place = `latitude ${lat.toFixed(2)}, longitude ${lon.toFixed(2)}`;
		const message = `The fields lie in the sea, at ${place}. Look at the map; if it is wrong, say that the coordinates are in another system, or have the file written again.`;
		return [{ code: 'place.inSea', message }];
	}
	const beyond = good.flatMap((row) => {
		const { west, east, south, north } = row.boundary;
		const why = beyondFarm(ground, { lon: (west + east) / 2, lat: (south + north) / 2 });
		return why === null ? [] : [{ row, why }];
	});
	const [first] = beyond;
	if (!first) return [];
	const these = beyond.length === good.length ? 'The fields lie' : `${beyond.length} of ${good.length} fields lie`;
	const which = beyond.length === good.length ? '' : `: ${namesOf(beyond.map(({ row }) => row))}`;
	return [{ code: 'place.beyondFarm', message: `${these} ${first.why}${which}. Look at the map.` }];
}

const MOST_NAMES = 5;

function namesOf(rows: readonly GoodRecord[]): string {
	const names = rows.slice(0, MOST_NAMES).map(({ name, record }) => `${name} (record ${record})`);
	const more = rows.length - names.length;
	return `${names.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}
