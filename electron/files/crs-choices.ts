/** Reference systems that would put a file's coordinates somewhere sensible: choices for a person, never a guess. */
import type { JsonValue } from '../../shared/basics/problem.ts';
import { shiftAt, within } from '../../shared/core/geodesy/datums.ts';
import { isNearLand } from '../../shared/core/geodesy/near-land.ts';
import {
	listedSystems,
	type ReferenceSystem,
	systemFromCode,
	WEB_MERCATOR,
} from '../../shared/core/geodesy/reference-system.ts';
import type { RawRecord } from './layer.ts';
import { type Extent, planarArea, toWgs84 } from './place-records.ts';

const MOST_CHOICES = 150;

/**
 * Systems in which the middle of the fields falls into the area the system is made for and near land, with the total area it
 * would give; after them those that would do so with the two coordinates of each point `exchanged`. Where all fall into the
 * sea they are given nonetheless, marked.
 */
export function crsChoices(records: Iterable<RawRecord>, extent: Extent | null): JsonValue[] {
	if (!extent) return [];
	let squareUnits = 0;
	for (const { polygons, refused } of records) squareUnits += refused ? 0 : planarArea(polygons) || 0;
	const { minX, minY, maxX, maxY } = extent;
	const [asTheyStand, inSea] = systemsFor(extent, squareUnits);
	const [exchanged] = systemsFor({ minX: minY, minY: minX, maxX: maxY, maxY: maxX }, squareUnits);
	const onLand = [...asTheyStand, ...exchanged.map((choice) => ({ ...choice, exchanged: true }))];
	return onLand.length > 0 ? onLand : inSea.map((choice) => ({ ...choice, inSea: true }));
}

type Choice = { readonly [key: string]: JsonValue };

function systemsFor(extent: Extent, squareUnits: number): [onLand: Choice[], inSea: Choice[]] {
	const [x, y] = [(extent.minX + extent.maxX) / 2, (extent.minY + extent.maxY) / 2];
	const [onLand, inSea]: [Choice[], Choice[]] = [[], []];
	for (const system of candidates(extent)) {
		const widest = system.datum.shifts.at(-1) ?? null;
		const [roughLon, roughLat] = toWgs84(system, widest)(x, y);
		if (!Number.isFinite(roughLon) || !system.bounds || !within(system.bounds, roughLon, roughLat)) continue;
		const convert = toWgs84(system, shiftAt(system.datum, roughLon, roughLat));
		const centre = convert(x, y).map((degrees) => Number(degrees.toFixed(5)));
		const totalHa =
			(squareUnits * squareMetresPerSquareUnit(convert, x, y, system.metresPerUnit === null ? 1e-4 : 10)) / 10_000;
		const choice = { crs: `EPSG:${system.epsg}`, name: system.name, totalHa: Number(totalHa.toPrecision(6)), centre };
		const found = isNearLand(roughLon, roughLat) ? onLand : inSea;
		if (found.length < MOST_CHOICES) found.push(choice);
	}
	return [onLand, inSea];
}

/** Degrees if the coordinates can be degrees; else the national grids, then the UTM zones by which Europe and the world are mapped. */
function* candidates({ minX, minY, maxX, maxY }: Extent): Generator<ReferenceSystem> {
	const areDegrees = Math.max(Math.abs(minX), Math.abs(maxX)) <= 360 && Math.max(Math.abs(minY), Math.abs(maxY)) <= 90;
	for (const system of listedSystems) if ((system.metresPerUnit === null) === areDegrees) yield system;
	if (areDegrees) return;
	const zones = Array.from({ length: 60 }, (_, zone) => zone + 1);
	const codes = [
		WEB_MERCATOR,
		...zones.map((zone) => 25800 + zone),
		...zones.map((zone) => 26900 + zone),
		...zones.map((zone) => 32600 + zone),
		...zones.map((zone) => 32700 + zone),
	];
	for (const code of codes) {
		const system = systemFromCode(code);
		if (system) yield system;
	}
}

/** Ground area of a small square of the file at a place, by its projected corners on the WGS 84 ellipsoid. */
function squareMetresPerSquareUnit(
	convert: (x: number, y: number) => [number, number],
	x: number,
	y: number,
	side: number,
): number {
	const [lon, lat] = convert(x, y);
	const [eastLon, eastLat] = convert(x + side, y);
	const [northLon, northLat] = convert(x, y + side);
	const radians = Math.PI / 180;
	// Radii of curvature of the WGS 84 ellipsoid across and along the meridian.
	const flatness = 1 - 0.00669437999014 * Math.sin(lat * radians) ** 2;
	const across = (6_378_137 / Math.sqrt(flatness)) * Math.cos(lat * radians) * radians;
	const along = ((6_378_137 * (1 - 0.00669437999014)) / flatness ** 1.5) * radians;
	const [ax, ay, bx, by] = [
		(eastLon - lon) * across,
		(eastLat - lat) * along,
		(northLon - lon) * across,
		(northLat - lat) * along,
	];
	return Math.abs(ax * by - ay * bx) / side ** 2;
}
