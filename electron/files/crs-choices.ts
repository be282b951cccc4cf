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
	const { minX, minY, maxX, maxY } = extent;
	const patches = patchesOf(records, extent);
	const [asTheyStand, inSea] = systemsFor(extent, patches);
	const turned = patches.map(({ x, y, squareUnits }) => ({ x: y, y: x, squareUnits }));
	const [exchanged] = systemsFor({ minX: minY, minY: minX, maxX: maxY, maxY: maxX }, turned);
	const onLand = [...asTheyStand, ...exchanged.map((choice) => ({ ...choice, exchanged: true }))];
	return onLand.length > 0 ? onLand : inSea.map((choice) => ({ ...choice, inSea: true }));
}

/** The file's area in the plane, gathered in places: its scale is not the same all over. */
type Patch = { readonly x: number; readonly y: number; readonly squareUnits: number };
const PATCHES_ACROSS = 8;

function patchesOf(records: Iterable<RawRecord>, { minX, minY, maxX, maxY }: Extent): Patch[] {
	const patches = new Map<number, Patch>();
	const place = (value: number, least: number, most: number) =>
		Math.min(PATCHES_ACROSS - 1, Math.floor(((value - least) / (most - least || 1)) * PATCHES_ACROSS));
	for (const { polygons, refused } of records) {
		const [x, y] = polygons[0]?.[0] ?? [];
		const squareUnits = refused ? 0 : planarArea(polygons);
		if (x === undefined || y === undefined || !(squareUnits > 0)) continue;
		const key = place(x, minX, maxX) * PATCHES_ACROSS + place(y, minY, maxY);
		const known = patches.get(key);
		patches.set(key, { x, y, ...known, squareUnits: squareUnits + (known?.squareUnits ?? 0) });
	}
	return [...patches.values()];
}

type Choice = { readonly [key: string]: JsonValue };

function systemsFor(extent: Extent, patches: readonly Patch[]): [onLand: Choice[], inSea: Choice[]] {
	const [x, y] = [(extent.minX + extent.maxX) / 2, (extent.minY + extent.maxY) / 2];
	const [onLand, inSea]: [Choice[], Choice[]] = [[], []];
	for (const system of candidates(extent)) {
		const widest = system.datum.shifts.at(-1) ?? null;
		const [roughLon, roughLat] = toWgs84(system, widest)(x, y);
		if (!Number.isFinite(roughLon) || !system.bounds || !within(system.bounds, roughLon, roughLat)) continue;
		const convert = toWgs84(system, shiftAt(system.datum, roughLon, roughLat));
		const centre = convert(x, y).map((degrees) => Number(degrees.toFixed(5)));
		const side = system.metresPerUnit === null ? 1e-4 : 10;
		const areas = patches.map((it) => it.squareUnits * squareMetresPerSquareUnit(convert, it.x, it.y, side));
		const totalHa = areas.reduce((sum, m2) => sum + m2, 0) / 10_000;
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
	// Among the numbers of the zones stand some of state plane zones.
	const listed = new Set(listedSystems.map(({ epsg }) => epsg));
	const zones = Array.from({ length: 60 }, (_, zone) => zone + 1);
	const codes = [
		WEB_MERCATOR,
		...zones.map((zone) => 25800 + zone),
		...zones.map((zone) => 26900 + zone),
		...zones.map((zone) => 32600 + zone),
		...zones.map((zone) => 32700 + zone),
	];
	for (const code of codes) {
		const system = listed.has(code) ? null : systemFromCode(code);
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
