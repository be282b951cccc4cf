import type { Metres } from '../../units/quantity.ts';

/** WGS 84 semi-major axis, by definition. Source: NGA.STND.0036, table 3.1. */
export const SEMI_MAJOR_M = 6_378_137;
/** WGS 84 flattening, by definition. Source: NGA.STND.0036, table 3.1. */
export const FLATTENING = 1 / 298.257223563;
export const SEMI_MINOR_M = SEMI_MAJOR_M * (1 - FLATTENING);
export const ECCENTRICITY_SQUARED = FLATTENING * (2 - FLATTENING);
export const RADIANS_PER_DEGREE = Math.PI / 180;

const eccentricity = Math.sqrt(ECCENTRICITY_SQUARED);
const authalicAtPole = authalicQ(1);

/** Radius of the sphere with the ellipsoid's surface, 6 371 007.181 m. Source: Snyder, Map Projections (USGS PP 1395, 1987), eq. 3-13. */
export const AUTHALIC_RADIUS_M = SEMI_MAJOR_M * Math.sqrt(authalicAtPole / 2);

/** Snyder's q: grows with latitude as the ground between it and the equator does. Source: Snyder 1987, eq. 3-12. */
function authalicQ(sinLatitude: number): number {
	const s = sinLatitude;
	return (
		(1 - ECCENTRICITY_SQUARED) * (s / (1 - ECCENTRICITY_SQUARED * s * s) + Math.atanh(eccentricity * s) / eccentricity)
	);
}

/**
 * Sine of the authalic latitude: on the sphere of `AUTHALIC_RADIUS_M` a shape there has the area it has on the ellipsoid.
 *
 *   sin β = q(φ) ÷ q(90°)
 *
 * Takes the sine of the geodetic latitude. Source: Snyder 1987, eq. 3-11.
 */
export function sinAuthalic(sinLatitude: number): number {
	return Math.max(-1, Math.min(1, authalicQ(sinLatitude) / authalicAtPole));
}

/**
 * The two radii of curvature at a latitude: how many metres a radian is worth there.
 *
 *   north (M) = a (1 − e²) ÷ (1 − e² sin²φ)^1.5     east (N) = a ÷ √(1 − e² sin²φ), times cos φ for a radian of longitude
 *
 * Source: Snyder 1987, eq. 4-18 and 4-20.
 */
export function radiiAt(sinLatitude: number): { readonly northM: Metres; readonly eastM: Metres } {
	const w = 1 - ECCENTRICITY_SQUARED * sinLatitude * sinLatitude;
	const eastM = SEMI_MAJOR_M / Math.sqrt(w);
	return { northM: (eastM * (1 - ECCENTRICITY_SQUARED)) / w, eastM };
}
