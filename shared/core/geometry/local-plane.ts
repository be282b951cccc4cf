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

/**
 * A transverse Mercator plane with its origin at a place: the ground there without stretch, for what needs metres both ways
 * (strips, overlaps, crossings). Areas of record are never taken from it but from `measure`.
 * Source: Kawase 2011 (see the series above).
 */
export function localPlane([originLon, originLat]: readonly [lon: number, lat: number]): LocalPlane {
	const originNorth = gaussKrueger(0, originLat).y;
	return {
		toPlane([lon = 0, lat = 0]) {
			const { x, y } = gaussKrueger(shortWay(lon - originLon), lat);
			return { x, y: y - originNorth };
		},
		toDegrees({ x, y }) {
			const { east, lat } = inverseGaussKrueger(x, y + originNorth);
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

function gaussKrueger(east: number, lat: number): PlanePoint {
	const sinLat = Math.sin(lat * RADIANS_PER_DEGREE);
	const conformalTangent = Math.sinh(Math.atanh(sinLat) - eccentricity * Math.atanh(eccentricity * sinLat));
	const lambda = east * RADIANS_PER_DEGREE;
	const xi = Math.atan2(conformalTangent, Math.cos(lambda));
	const eta = Math.atanh(Math.sin(lambda) / Math.hypot(1, conformalTangent));
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

function applySeries(series: readonly number[], xi: number, eta: number, sign: 1 | -1): { xi: number; eta: number } {
	let [shiftedXi, shiftedEta] = [xi, eta];
	for (let index = 0; index < series.length; index++) {
		const order = 2 * (index + 1);
		const term = sign * (series[index] ?? 0);
		shiftedXi += term * Math.sin(order * xi) * Math.cosh(order * eta);
		shiftedEta += term * Math.cos(order * xi) * Math.sinh(order * eta);
	}
	return { xi: shiftedXi, eta: shiftedEta };
}
