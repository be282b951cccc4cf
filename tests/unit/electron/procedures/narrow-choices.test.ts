import { expect, test } from 'vitest';
import type { FarmGround } from '../../../../electron/procedures/farm-ground.ts';
import { narrowedChoices } from '../../../../electron/procedures/narrow-choices.ts';
import type { Problem } from '../../../../shared/basics/problem.ts';

const farm: FarmGround = { by: 'fields', lon: 0.07, lat: 52.21, reachKm: 2 };

function asked(...choices: { crs: string; centre: [number, number]; exchanged?: true }[]): Problem {
	return { code: 'file.crsUnknown', details: { choices } };
}

const codes = ({ details }: Problem) =>
	(details['choices'] as { crs: string; far?: boolean }[]).map(({ crs, far }) => `${crs}${far ? ' far' : ''}`);

test('exchanged coordinates are a choice among the farm’s fields alone, and only where none fits as it stands', () => {
	const away = { crs: 'EPSG:31370', centre: [3.996, 51.154] as [number, number], exchanged: true as const };
	const among = { crs: 'EPSG:27700', centre: [0.08, 52.2] as [number, number], exchanged: true as const };
	const plain = { crs: 'EPSG:32631', centre: [0.07, 52.21] as [number, number] };
	const other = { crs: 'EPSG:2056', centre: [8, 47] as [number, number] };
	expect(codes(narrowedChoices(asked(away, other), farm))).toEqual(['EPSG:2056 far']);
	expect(codes(narrowedChoices(asked(other, among, away), farm))).toEqual(['EPSG:27700', 'EPSG:2056 far']);
	expect(codes(narrowedChoices(asked(other, among, plain), farm))).toEqual(['EPSG:32631', 'EPSG:2056 far']);
});
