import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import papaparse from 'papaparse';
import { expect, test } from 'vitest';
import { toWgs84 } from '../../../../../electron/files/place-records.ts';
import { shiftAt } from '../../../../../shared/core/geodesy/datums.ts';
import { systemFromCode } from '../../../../../shared/core/geodesy/reference-system.ts';
import { type Convert, ringConverter } from '../../../../../shared/core/geodesy/ring-converter.ts';

type Case = {
	readonly epsg: string;
	readonly x: string;
	readonly y: string;
	readonly lon: string;
	readonly lat: string;
};
const path = join(import.meta.dirname, '../../../../reference/cases/reference-systems.csv');
const cases = papaparse.parse<Case>(readFileSync(path, 'utf8'), { header: true, skipEmptyLines: true }).data;

/** A ring of 400 points that winds out to a reach from a place. */
function winding(x: number, y: number, reach: number): Float64Array {
	const ring = new Float64Array(800);
	for (let point = 0; point < 400; point++) {
		const out = (reach * point) / 400;
		ring[point * 2] = x + out * Math.cos(point);
		ring[point * 2 + 1] = y + out * Math.sin(point);
	}
	return ring;
}

function oneByOne(convert: Convert, ring: Float64Array): Float64Array {
	const converted = new Float64Array(ring.length);
	for (let at = 0; at < ring.length; at += 2) converted.set(convert(ring[at] ?? 0, ring[at + 1] ?? 0), at);
	return converted;
}

function farthest(one: Float64Array, other: Float64Array): number {
	return one.reduce((most, value, at) => Math.max(most, Math.abs(value - (other[at] ?? 0))), 0);
}

test('in the middle of every listed system, points come out as the conversion puts them, to a thousandth of a millimetre', () => {
	const off = cases.flatMap<unknown>(({ epsg, x, y, lon, lat }) => {
		const system = systemFromCode(Number(epsg));
		if (!system) return [{ epsg, trouble: 'unknown' }];
		const convert = toWgs84(system, shiftAt(system.datum, Number(lon), Number(lat)));
		const side = system.metresPerUnit === null ? 0.02 : 2_000 / system.metresPerUnit;
		const ring = winding(Number(x), Number(y), 2.5 * side);
		const apart = farthest(ringConverter(convert, side)(ring), oneByOne(convert, ring));
		return apart < 1e-11 ? [] : [{ epsg, apart }];
	});
	expect([off, cases.length > 300]).toEqual([[], true]);
});

test('far fewer points are converted one by one', () => {
	const system = systemFromCode(28992);
	const exact = system ? toWgs84(system, shiftAt(system.datum, 5.4, 52.2)) : () => [0, 0] as const;
	let asked = 0;
	const convert = ringConverter((x, y) => {
		asked++;
		return exact(x, y);
	}, 2_000);
	for (let field = 0; field < 100; field++) convert(winding(155_000 + field, 463_000, 900));
	expect(asked).toBe(21);
});

test.each<[string, Convert]>([
	['a corner', (x, y) => [Math.abs(x - 500), y]],
	['a jump', (x, y) => [x > 700 ? x - 360 : x, y]],
	['a place without an answer', (x, y) => [x > 990 && y > 990 ? Number.NaN : x, y]],
])('a square with %s in it is converted point by point', (_, convert) => {
	const ring = winding(500, 500, 499);
	expect(ringConverter(convert, 1_000)(ring)).toEqual(oneByOne(convert, ring));
});

test('a point comes out alike wherever it stands again, and a wild one as it is', () => {
	const convert: Convert = (x, y) => [Math.sin(x / 1e5), Math.cos(y / 1e5)];
	const rings = ringConverter(convert, 1_000);
	const [first] = rings(Float64Array.of(310, 470));
	const later = rings(Float64Array.of(320, 470, 330, 480, 310, 470, 1e200, Number.NaN));
	expect([later[4], later[6], later[7]]).toEqual([first, Math.sin(1e195), Number.NaN]);
});
