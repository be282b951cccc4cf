import type { Metres } from '../../units/quantity.ts';
import type { Part, Position } from './boundary.ts';
import { ECCENTRICITY_SQUARED, FLATTENING, RADIANS_PER_DEGREE, SEMI_MAJOR_M } from './ellipsoid.ts';
import { shortWay } from './unrolled-ring.ts';

/** A point on a local plane, metres east and north of its origin. */
export type PlanePoint = { readonly x: Metres; readonly y: Metres };

/** A map of the ground about one place, true in angle and, within 5 km east or west, in length to 3 parts in ten million. */
export type LocalPlane = {
	readonly toPlane: (position: Position) => PlanePoint;
	readonly toDegrees: (point: PlanePoint) => [lon: number, lat: number];
};

const eccentricity = Math.sqrt(ECCENTRICITY_SQUARED);
/** Third flattening. */
const n = FLATTENING / (2 - FLATTENING);
/** Radius of the circle as long as a meridian. */
const rectifyingRadiusM = (SEMI_MAJOR_M / (1 + n)) * (1 + n ** 2 / 4 + n ** 4 / 64);
/*
 * Krüger's series in n. Source: Kawase, A general formula for calculating meridian arc length and its application to
 * coordinate conversion in the Gauss-Krüger projection, Bulletin of the Geospatial Information Authority of Japan 59 (2011).
 */
const towardsPlane = [
	n / 2 - (2 / 3) * n ** 2 + (5 / 16) * n ** 3 + (41 / 180) * n ** 4,
	(13 / 48) * n ** 2 - (3 / 5) * n ** 3 + (557 / 1440) * n ** 4,
	(61 / 240) * n ** 3 - (103 / 140) * n ** 4,
	(49_561 / 161_280) * n ** 4,
];
const fromPlane = [
	n / 2 - (2 / 3) * n ** 2 + (37 / 96) * n ** 3 - (1 / 360) * n ** 4,
	(1 / 48) * n ** 2 + (1 / 15) * n ** 3 - (437 / 1440) * n ** 4,
	(17 / 480) * n ** 3 - (37 / 840) * n ** 4,
	(4397 / 161_280) * n ** 4,
];
const fromConformal = [
	2 * n - (2 / 3) * n ** 2 - 2 * n ** 3 + (116 / 45) * n ** 4,
	(7 / 3) * n ** 2 - (8 / 5) * n ** 3 - (227 / 45) * n ** 4,
	(56 / 15) * n ** 3 - (136 / 35) * n ** 4,
	(4279 / 630) * n ** 4,
];

/** How far from its origin the short form holds, and up to which latitude. */
const NEAR_DEGREES = 0.05;
const NEAR_POLE = 89;

/**
 * A transverse Mercator plane with its origin at a place: the ground there without stretch, for what needs metres both ways
 * (strips, overlaps, crossings). Areas of record are never taken from it but from `measure`.
 * Source: Kawase 2011 (see the series above).
 */
export function localPlane([originLon, originLat]: readonly [lon: number, lat: number]): LocalPlane {
	let known: Metres | null = null;
	const originNorth = () => {
		known ??= gaussKrueger(0, originLat).y;
		return known;
	};
	const nearby = nearOrigin(originLat);
	return {
		toPlane([lon = 0, lat = 0]) {
			const east = shortWay(lon - originLon);
			const isNear = Math.abs(east) < NEAR_DEGREES && Math.abs(lat - originLat) < NEAR_DEGREES;
			if (isNear && Math.abs(lat) < NEAR_POLE) return nearby(east, lat);
			const { x, y } = gaussKrueger(east, lat);
			return { x, y: y - originNorth() };
		},
		toDegrees({ x, y }) {
			const { east, lat } = inverseGaussKrueger(x, y + originNorth());
			return [originLon + east, lat];
		},
	};
}

/** The plane about the middle of a boundary. */
export function planeOf(parts: readonly Part[]): LocalPlane {
	const origin = parts[0]?.[0]?.[0]?.[0] ?? 0;
	let [west, south, east, north] = [0, 90, 0, -90];
	for (const rings of parts) {
		for (const [lon = 0, lat = 0] of rings[0] ?? []) {
			const offset = shortWay(lon - origin);
			west = Math.min(west, offset);
			east = Math.max(east, offset);
			south = Math.min(south, lat);
			north = Math.max(north, lat);
		}
	}
	return localPlane([origin + (west + east) / 2, (south + north) / 2]);
}

/**
 * The same projection near its origin by powers of the difference of longitude, good there to a thousandth of a millimetre
 * and several times faster. The meridian's arc from the origin is its radius of curvature, integrated by Taylor's series.
 * Source: Snyder, Map projections: a working manual, US Geological Survey Professional Paper 1395 (1987), eq. 8-9 and 8-10.
 */
function nearOrigin(originLat: number): (east: number, lat: number) => PlanePoint {
	const phi = originLat * RADIANS_PER_DEGREE;
	const w = 1 - ECCENTRICITY_SQUARED * Math.sin(phi) ** 2;
	const [w1, w2] = [-ECCENTRICITY_SQUARED * Math.sin(2 * phi), -2 * ECCENTRICITY_SQUARED * Math.cos(2 * phi)];
	const radius = (SEMI_MAJOR_M * (1 - ECCENTRICITY_SQUARED)) / w ** 1.5;
	const radius1 = (-1.5 * radius * w1) / w;
	const radius2 = radius * (3.75 * (w1 / w) ** 2 - (1.5 * w2) / w);
	const secondEccentricitySquared = ECCENTRICITY_SQUARED / (1 - ECCENTRICITY_SQUARED);
	return (east, lat) => {
		const north = (lat - originLat) * RADIANS_PER_DEGREE;
		const sin = Math.sin(lat * RADIANS_PER_DEGREE);
		const cosSquared = 1 - sin * sin;
		const cos = Math.sqrt(cosSquared);
		const across = SEMI_MAJOR_M / Math.sqrt(1 - ECCENTRICITY_SQUARED * sin * sin);
		const c = secondEccentricitySquared * cosSquared;
		const t = (sin * sin) / cosSquared;
		const a = east * RADIANS_PER_DEGREE * cos;
		const arc = north * (radius + north * (radius1 / 2 + (north * radius2) / 6));
		return {
			x: across * a * (1 + (a * a * (1 - t + c)) / 6),
			y: arc + ((across * sin) / cos) * a * a * (0.5 + (a * a * (5 - t + 9 * c + 4 * c * c)) / 24),
		};
	};
}

function gaussKrueger(east: number, lat: number): PlanePoint {
	const sinLat = Math.sin(lat * RADIANS_PER_DEGREE);
	const conformalTangent = Math.sinh(Math.atanh(sinLat) - eccentricity * Math.atanh(eccentricity * sinLat));
	const lambda = east * RADIANS_PER_DEGREE;
	const xi = Math.atan2(conformalTangent, Math.cos(lambda));
	const eta = Math.atanh(Math.sin(lambda) / Math.sqrt(1 + conformalTangent * conformalTangent));
	const shifted = applySeries(towardsPlane, xi, eta, 1);
	return { x: rectifyingRadiusM * shifted.eta, y: rectifyingRadiusM * shifted.xi };
}

function inverseGaussKrueger(x: Metres, y: Metres): { readonly east: number; readonly lat: number } {
	const { xi, eta } = applySeries(fromPlane, y / rectifyingRadiusM, x / rectifyingRadiusM, -1);
	const conformal = Math.asin(Math.sin(xi) / Math.cosh(eta));
	let lat = conformal;
	for (const [index, term] of fromConformal.entries()) lat += term * Math.sin(2 * (index + 1) * conformal);
	const lambda = Math.atan2(Math.sinh(eta), Math.cos(xi));
	return { east: lambda / RADIANS_PER_DEGREE, lat: lat / RADIANS_PER_DEGREE };
}

/** Adds the series Σ term × sin 2k(ξ + iη), each sine from the two before it: sin (k+1)z = 2 cos z sin kz − sin (k−1)z. */
function applySeries(series: readonly number[], xi: number, eta: number, sign: 1 | -1): { xi: number; eta: number } {
	const [sin, cos] = [Math.sin(2 * xi), Math.cos(2 * xi)];
	const [sinh, cosh] = [Math.sinh(2 * eta), Math.cosh(2 * eta)];
	const [twiceCos, twiceCosI] = [2 * cos * cosh, -2 * sin * sinh];
	let [before, beforeI] = [0, 0];
	let [sine, sineI] = [sin * cosh, cos * sinh];
	let [shiftedXi, shiftedEta] = [xi, eta];
	for (const term of series) {
		shiftedXi += sign * term * sine;
		shiftedEta += sign * term * sineI;
		const next = twiceCos * sine - twiceCosI * sineI - before;
		const nextI = twiceCos * sineI + twiceCosI * sine - beforeI;
		[before, beforeI, sine, sineI] = [sine, sineI, next, nextI];
	}
	return { xi: shiftedXi, eta: shiftedEta };
}
