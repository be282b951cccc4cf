import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import papaparse from 'papaparse';
import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { shiftAt } from '../../shared/core/geodesy/datums.ts';
import { listedSystems, projDefinition, systemFromCode } from '../../shared/core/geodesy/reference-system.ts';

/*
 * One point in the middle of every listed reference system's area of use, taken to WGS 84 by PROJ 9.5.1 (pyproj 3.7.2, EPSG
 * dataset v11) without grid files; for old datums by the operation named in the last column.
 */
type Case = {
	readonly epsg: string;
	readonly x: string;
	readonly y: string;
	readonly lon: string;
	readonly lat: string;
	readonly operation: string;
};

const path = join(import.meta.dirname, 'cases/reference-systems.csv');
const cases = papaparse.parse<Case>(readFileSync(path, 'utf8'), { header: true, skipEmptyLines: true }).data;
const METRES_PER_DEGREE = 111_320;
/** The figures of the cases end at 0.1 mm. */
const WITHIN_M = 0.01;

test('every listed system has a case', () => {
	const covered = new Set(cases.map(({ epsg }) => Number(epsg)));
	expect(listedSystems.filter(({ epsg }) => !covered.has(epsg ?? 0)).map(({ name }) => name)).toEqual([]);
});

test('a point of each reference system lies where PROJ puts it, by the shift PROJ uses', () => {
	const off = cases.flatMap<unknown>(({ epsg, x, y, lon, lat, operation }) => {
		const system = systemFromCode(Number(epsg));
		if (!system) return [{ epsg, trouble: 'unknown' }];
		const [trueLon, trueLat] = [Number(lon), Number(lat)];
		const shift = shiftAt(system.datum, trueLon, trueLat);
		const [east = Number.NaN, north = Number.NaN] = proj4(projDefinition(system, shift), 'EPSG:4326').forward([
			Number(x),
			Number(y),
		]);
		const turn = Math.abs(((east - trueLon + 540) % 360) - 180) * Math.cos((trueLat * Math.PI) / 180);
		const metres = Math.hypot(turn, north - trueLat) * METRES_PER_DEGREE;
		const isSame = metres <= WITHIN_M && (shift?.operation ?? '') === operation;
		return isSame ? [] : [{ epsg, name: system.name, metres, shift: shift?.operation, operation }];
	});
	expect(off).toEqual([]);
});
