import { describe, expect, test } from 'vitest';
import { isNearLand } from '../../../../../shared/core/geodesy/near-land.ts';

// Places from any atlas, rounded.
describe('near land', () => {
	test.each([
		['the Po plain', 11, 45],
		['Bahia', -45.9, -12.2],
		['the polder coast of Zeeland', 3.5, 51.55],
		['Land’s End', -5.7, 50.07],
		['Funen', 10.4, 55.4],
		['Gotland', 18.4, 57.4],
		['Malta', 14.4, 35.9],
		['Oahu', -158, 21.5],
		['Taveuni, across 180°', 180.05, -16.85],
		['the Canterbury plain', 171.8, -43.8],
		['the South Pole', 0, -90],
	])('%s', (_, lon, lat) => {
		expect(isNearLand(lon, lat)).toBe(true);
	});
});

describe('open sea', () => {
	test.each([
		['the South Atlantic', -12.2, -45.9],
		['the Gulf of Guinea at 0°, 0°', 0, 0],
		['the Bay of Biscay', -7, 46],
		['the middle of the North Sea', 3, 56.5],
		['the Pacific', -140, 10],
		['the North Pole', 0, 90],
		['no latitude', 0, 120],
	])('%s', (_, lon, lat) => {
		expect(isNearLand(lon, lat)).toBe(false);
	});
});
