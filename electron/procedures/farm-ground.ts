import { currentBoxes } from '../../db/modules/fields.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { countryCodes, mayLieIn } from '../../shared/core/geodesy/country.ts';
import { geodesicBetween } from '../../shared/core/geometry/geodesic.ts';
import { shortWay } from '../../shared/core/geometry/unrolled-ring.ts';
import type { QueryContext } from './handler.ts';

/** What is known of where the farm lies: the middle of its fields and how far they reach, else its country. */
export type FarmGround =
	| { readonly by: 'fields'; readonly lon: number; readonly lat: number; readonly reachKm: number }
	| { readonly by: 'country'; readonly country: string; readonly from: string }
	| { readonly by: 'nothing' };

type Place = { readonly lon: number; readonly lat: number };

/** Farther from the fields of the register than this a farm's ground is not expected. Common practice. */
const REGION_KM = 300;
/** Nearer than this a new field is among the others; farther than the second, away from them. Common practice. */
const AMONG_KM = 10;
const AWAY_KM = 60;
/** Rule sets of one country. */
const countryOfRules: Readonly<Record<string, string>> = { 'uk-code': 'GB', 'us-7cfr110': 'US' };

export async function farmGround({ db, farm }: Pick<QueryContext, 'db' | 'farm'>): Promise<FarmGround> {
	const boxes = await currentBoxes(db);
	const [first] = boxes;
	if (!first) return countryOf(farm);
	let [south, north, westward, eastward] = [90, -90, 0, 0];
	for (const box of boxes) {
		south = Math.min(south, box.south);
		north = Math.max(north, box.north);
		// Counted from the first field, so that a farm on 180° stays together.
		westward = Math.min(westward, shortWay(box.west - first.west));
		eastward = Math.max(eastward, shortWay(box.east - first.west));
	}
	const corner = { lon: first.west + westward, lat: south };
	const middle = { lon: first.west + (westward + eastward) / 2, lat: (south + north) / 2 };
	return { by: 'fields', ...middle, reachKm: kmBetween(corner, middle) };
}

/** From the middle of the farm's fields; null where it has none. */
export function kmFromFields(ground: FarmGround, place: Place): number | null {
	return ground.by === 'fields' ? kmBetween(ground, place) : null;
}

/** Why a place is none of the farm's: "1,240 km from the farm’s other fields", "outside Denmark …"; null where it may be. */
export function beyondFarm(ground: FarmGround, place: Place): string | null {
	if (ground.by === 'nothing') return null;
	if (ground.by === 'fields') {
		const km = kmBetween(ground, place);
		const told = Math.round(km).toLocaleString('en-GB');
		return km > REGION_KM + ground.reachKm ? `${told} km from the farm’s other fields` : null;
	}
	if (mayLieIn(ground.country, place.lon, place.lat)) return null;
	return `outside ${nameOf(ground.country)}, where the farm is by its ${ground.from}`;
}

/**
 * How far a place lies from the farm's fields, in km, where it is well away from them and the other place is right among them.
 * Null where the two say nothing against each other, and for a farm without fields.
 */
export function fartherFromFarm(ground: FarmGround, place: Place, other: Place): number | null {
	if (ground.by !== 'fields') return null;
	const [away, near] = [kmBetween(ground, place), kmBetween(ground, other)];
	return near <= ground.reachKm + AMONG_KM && away > ground.reachKm + AWAY_KM ? away : null;
}

/** Whether a place is among the farm's fields; true where no fields tell. */
export function isAmongFields(ground: FarmGround, place: Place): boolean {
	return ground.by !== 'fields' || kmBetween(ground, place) <= ground.reachKm + AMONG_KM;
}

/** What `beyondFarm` holds a place against: "in Denmark, where the farm is by …"; null where nothing is known. */
export function farmGroundWords(ground: FarmGround): string | null {
	if (ground.by === 'nothing') return null;
	if (ground.by === 'fields') return `within ${REGION_KM} km of the farm’s fields`;
	return `in or near ${nameOf(ground.country)}, where the farm is by its ${ground.from}`;
}

/** The country a farm lies in, by its time zone, else by its rule set. Nothing where neither names one, as UTC does not. */
export function countryOf({ zone, ruleSet }: Pick<FarmRow, 'zone' | 'ruleSet'>): FarmGround {
	// A zone has several names, `Asia/Calcutta` and `Asia/Kolkata`; the platform's own is compared.
	const { timeZone } = new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions();
	const byZone = countryCodes.find((code) => zonesOf(code).includes(timeZone));
	const country = byZone ?? countryOfRules[ruleSet];
	if (country === undefined) return { by: 'nothing' };
	return { by: 'country', country, from: byZone === undefined ? 'rule set' : `time zone, ${zone}` };
}

function zonesOf(country: string): string[] {
	// Not yet in the platform's published types.
	const locale = new Intl.Locale(`und-${country}`) as Intl.Locale & { getTimeZones?: () => string[] | undefined };
	return locale.getTimeZones?.() ?? [];
}

/** `DK` as `Denmark`, with its article where it has one. */
function nameOf(country: string): string {
	const name = new Intl.DisplayNames('en-GB', { type: 'region' }).of(country) ?? country;
	return /^(United|Netherlands|Philippines)|Islands$|Republic$/.test(name) ? `the ${name}` : name;
}

function kmBetween(one: Place, other: Place): number {
	const line = geodesicBetween(one.lat, other.lat, shortWay(other.lon - one.lon));
	return line ? line.lengthM / 1000 : Number.POSITIVE_INFINITY;
}
