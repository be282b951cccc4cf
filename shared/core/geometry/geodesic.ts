import type { Metres } from '../../units/quantity.ts';
import { FLATTENING, RADIANS_PER_DEGREE, SEMI_MAJOR_M, SEMI_MINOR_M } from './ellipsoid.ts';

/** The shortest line between two points of the ellipsoid. Azimuth in radians from north, clockwise. */
export type GeodesicLine = { readonly lengthM: Metres; readonly azimuth: number };

const MOST_ITERATIONS = 60;
/** Radians; 1e-13 is less than a thousandth of a millimetre. */
const CONVERGED = 1e-13;

/**
 * Length and first azimuth of the geodesic between two points.
 *
 * Latitudes and the difference of longitude in degrees. Null where the series does not settle: points almost opposite
 * each other on the Earth. Good to 0.1 mm.
 * Source: Vincenty, Direct and inverse solutions of geodesics on the ellipsoid, Survey Review XXIII 176, 1975, eq. 13–21.
 */
export function geodesicBetween(fromLat: number, toLat: number, lonDifference: number): GeodesicLine | null {
	const reducedFrom = reduced(fromLat);
	const reducedTo = reduced(toLat);
	const longitude = lonDifference * RADIANS_PER_DEGREE;
	let lambda = longitude;
	for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
		const sinLambda = Math.sin(lambda);
		const cosLambda = Math.cos(lambda);
		const east = reducedTo.cos * sinLambda;
		const north = reducedFrom.cos * reducedTo.sin - reducedFrom.sin * reducedTo.cos * cosLambda;
		const sinSigma = Math.hypot(east, north);
		if (sinSigma === 0) return { lengthM: 0, azimuth: 0 };
		const cosSigma = reducedFrom.sin * reducedTo.sin + reducedFrom.cos * reducedTo.cos * cosLambda;
		const sigma = Math.atan2(sinSigma, cosSigma);
		const sinAlpha = (reducedFrom.cos * reducedTo.cos * sinLambda) / sinSigma;
		const cosSqAlpha = 1 - sinAlpha * sinAlpha;
		const cos2SigmaM = cosSqAlpha > 0 ? cosSigma - (2 * reducedFrom.sin * reducedTo.sin) / cosSqAlpha : 0;
		const next = longitude + longitudeExcess(sinAlpha, cosSqAlpha, sigma, sinSigma, cosSigma, cos2SigmaM);
		if (!(Math.abs(next) <= Math.PI)) return null;
		const settled = Math.abs(next - lambda) < CONVERGED;
		lambda = next;
		if (settled) {
			const { a, b } = distanceSeries(cosSqAlpha);
			const deltaSigma = arcCorrection(b, sinSigma, cosSigma, cos2SigmaM);
			return { lengthM: SEMI_MINOR_M * a * (sigma - deltaSigma), azimuth: Math.atan2(east, north) };
		}
	}
	return null;
}

/**
 * The point a distance along a geodesic: latitude in degrees, and how far east of the start in degrees.
 * Source: Vincenty 1975, eq. 1–11.
 */
export function pointAlong(
	fromLat: number,
	azimuth: number,
	distanceM: Metres,
): { readonly lat: number; readonly east: number } {
	const start = reduced(fromLat);
	const sinAzimuth = Math.sin(azimuth);
	const cosAzimuth = Math.cos(azimuth);
	const sigmaStart = Math.atan2(start.sin, start.cos * cosAzimuth);
	const sinAlpha = start.cos * sinAzimuth;
	const cosSqAlpha = 1 - sinAlpha * sinAlpha;
	const { a, b } = distanceSeries(cosSqAlpha);
	const plain = distanceM / (SEMI_MINOR_M * a);
	let sigma = plain;
	for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
		const next = plain + arcCorrection(b, Math.sin(sigma), Math.cos(sigma), Math.cos(2 * sigmaStart + sigma));
		const settled = Math.abs(next - sigma) < CONVERGED;
		sigma = next;
		if (settled) break;
	}
	const sinSigma = Math.sin(sigma);
	const cosSigma = Math.cos(sigma);
	const cos2SigmaM = Math.cos(2 * sigmaStart + sigma);
	const inward = start.sin * sinSigma - start.cos * cosSigma * cosAzimuth;
	const lat = Math.atan2(
		start.sin * cosSigma + start.cos * sinSigma * cosAzimuth,
		(1 - FLATTENING) * Math.hypot(sinAlpha, inward),
	);
	const lambda = Math.atan2(sinSigma * sinAzimuth, start.cos * cosSigma - start.sin * sinSigma * cosAzimuth);
	const east = lambda - longitudeExcess(sinAlpha, cosSqAlpha, sigma, sinSigma, cosSigma, cos2SigmaM);
	return { lat: lat / RADIANS_PER_DEGREE, east: east / RADIANS_PER_DEGREE };
}

/** Sine and cosine of the reduced latitude, tan U = (1 − f) tan φ. */
function reduced(lat: number): { readonly sin: number; readonly cos: number } {
	const sin = (1 - FLATTENING) * Math.sin(lat * RADIANS_PER_DEGREE);
	const cos = Math.cos(lat * RADIANS_PER_DEGREE);
	const length = Math.hypot(sin, cos);
	return { sin: sin / length, cos: cos / length };
}

/** Vincenty's A and B: the scale of the distance along a line of this inclination. */
function distanceSeries(cosSqAlpha: number): { readonly a: number; readonly b: number } {
	const u = (cosSqAlpha * (SEMI_MAJOR_M ** 2 - SEMI_MINOR_M ** 2)) / SEMI_MINOR_M ** 2;
	return {
		a: 1 + (u / 16384) * (4096 + u * (-768 + u * (320 - 175 * u))),
		b: (u / 1024) * (256 + u * (-128 + u * (74 - 47 * u))),
	};
}

/** Vincenty's Δσ. */
function arcCorrection(b: number, sinSigma: number, cosSigma: number, cos2SigmaM: number): number {
	const c = cos2SigmaM;
	const inner = cosSigma * (2 * c * c - 1) - (b / 6) * c * (4 * sinSigma * sinSigma - 3) * (4 * c * c - 3);
	return b * sinSigma * (c + (b / 4) * inner);
}

/** What longitude on the auxiliary sphere exceeds that on the ellipsoid by, in radians. */
function longitudeExcess(
	sinAlpha: number,
	cosSqAlpha: number,
	sigma: number,
	sinSigma: number,
	cosSigma: number,
	cos2SigmaM: number,
): number {
	const c = (FLATTENING / 16) * cosSqAlpha * (4 + FLATTENING * (4 - 3 * cosSqAlpha));
	const inner = cos2SigmaM + c * cosSigma * (2 * cos2SigmaM * cos2SigmaM - 1);
	return (1 - c) * FLATTENING * sinAlpha * (sigma + c * sinSigma * inner);
}
