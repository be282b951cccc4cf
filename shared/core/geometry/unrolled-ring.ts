import { ok, type Result } from '../../basics/result.ts';
import { invalid, type Ring } from './boundary.ts';

/** A ring as degrees north, and degrees east of its first point: no jump at 180°, and no digits lost on a small parcel. */
export type UnrolledRing = { readonly lats: readonly number[]; readonly easts: readonly number[] };

/**
 * Unrolls a ring: every edge goes the short way round, so that 179.99° → −179.99° is 0.02° east, not 359.98° west.
 * Refuses `geometry.invalid` for a ring that goes round a pole.
 */
export function unrollRing(ring: Ring, name: string): Result<UnrolledRing> {
	const lats: number[] = [];
	const easts: number[] = [];
	const origin = ring[0]?.[0] ?? 0;
	let turns = 0;
	let before = origin;
	for (const [lon = 0, lat = 0] of ring) {
		turns -= Math.round((lon - before) / 360);
		easts.push(lon - origin + 360 * turns);
		lats.push(lat);
		before = lon;
	}
	turns -= Math.round((origin - before) / 360);
	if (turns !== 0) return invalid(`${name} goes round a pole`);
	return ok({ lats, easts });
}

/** A difference of longitude, the short way round: −180° to 180°. */
export function shortWay(degrees: number): number {
	return degrees > -180 && degrees < 180 ? degrees : degrees - 360 * Math.round(degrees / 360);
}
