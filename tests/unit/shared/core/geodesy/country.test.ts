import { expect, test } from 'vitest';
import { countryCodes, mayLieIn } from '../../../../../shared/core/geodesy/country.ts';

// Capitals and far parts, from memory.
test.each([
	['DK', 12.57, 55.68],
	['DK', 14.9, 55.1], // Bornholm
	['GB', -0.13, 51.51],
	['GB', -1.2, 60.8], // Unst
	['FR', 55.5, -21.1], // Réunion
	['US', -150, 61.2],
	['US', -96, 41],
	['AU', 149.13, -35.28],
	['RU', 190, 66], // Chukotka, beyond 180°
	['RU', -170, 66],
	['NZ', 174.78, -41.29],
	['BR', -45.9, -12.2],
])('%s holds %d, %d', (country, lon, lat) => {
	expect(mayLieIn(country, lon, lat)).toBe(true);
});

test.each([
	['DK', 2.35, 48.86],
	['GB', 5.3, 52.1],
	['DE', 52.5, 13.4], // Berlin exchanged
	['RU', 0, 52],
	['US', 45.9, 12.2],
	['XX', 10, 50],
])('%s does not hold %d, %d', (country, lon, lat) => {
	expect(mayLieIn(country, lon, lat)).toBe(false);
});

test('every country stands once, by its two letters', () => {
	expect(new Set(countryCodes).size).toBe(countryCodes.length);
	for (const code of countryCodes) expect(code).toMatch(/^[A-Z]{2}$/);
	expect(countryCodes.length).toBeGreaterThan(230);
});
