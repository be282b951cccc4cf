import { expect, test } from 'vitest';
import { displayUnitsOf, usualUnits } from '../../../../../shared/core/display/display-units.ts';
import { inUs, sizeFor, usUnit } from '../../../../../shared/core/display/us-unit.ts';
import { ruleSets } from '../../../../../shared/core/records/rule-sets.ts';

/**
 * NIST Special Publication 811 (2008), Appendix B.8, factors for converting to the SI; digits from memory.
 * Gallons and fluid ounces are US liquid measure, acres and feet there on the survey foot (4.046 873 E+03 m², 4 parts in a
 * million more than the international acre that is used here).
 */
const published: readonly (readonly [metric: string, size: 'large' | 'small', unit: string, inMetric: number])[] = [
	['ha', 'large', 'ac', 0.4046873],
	['L', 'large', 'gal', 3.785412],
	['L', 'small', 'fl oz', 0.02957353],
	['mL', 'large', 'fl oz', 29.57353],
	['kg', 'large', 'lb', 0.4535924],
	['kg', 'small', 'oz', 0.02834952],
	['g', 'large', 'oz', 28.34952],
	['t', 'large', 'ton', 0.9071847],
	['m', 'large', 'ft', 0.3048],
	['m²', 'large', 'ft²', 0.09290304],
	['m³', 'large', 'ft³', 0.02831685],
	['km/h', 'large', 'mph', 1.609344],
	['bar', 'large', 'psi', 0.06894757],
	['L/min', 'large', 'gal/min', 3.785412],
];

test.each(published)('%s, %s: %s is worth what is published', (metric, size, unit, inMetric) => {
	const us = usUnit(metric, size);
	expect(us?.unit).toBe(unit);
	expect(Math.abs((us?.worth ?? 0) / inMetric - 1)).toBeLessThan(5e-6);
	// Both ways: one of the US unit reads 1, one metric unit reads its inverse.
	expect(inUs(inMetric, metric, size).value).toBeCloseTo(1, 5);
	expect(inUs(1, metric, size).value * inMetric).toBeCloseTo(1, 5);
});

/** ASABE EP367.3 and extension tables print 1 gal/ac as 9.354 L/ha and 1 lb/ac as 1.121 kg/ha (from memory). */
test('rates are of volume or mass by area, doses in ounces where they are small', () => {
	expect(inUs(9.354, 'L/ha')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'gal/ac' });
	expect(inUs(1.121, 'kg/ha')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'lb/ac' });
	expect(inUs(1121, 'g/ha')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'lb/ac' });
	expect(inUs(112.1, 'kg N/ha')).toMatchObject({ value: expect.closeTo(100, 1), unit: 'lb N/ac' });
	// 1 fl oz to 100 lb is 65.2 mL to 100 kg; 1 fl oz to 1000 ft³ is 1.044 mL to 1 m³.
	expect(inUs(0.0652, 'L/100 kg', 'small')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'fl oz/100 lb' });
	expect(inUs(1.0444, 'mL/m³')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'fl oz/1000 ft³' });
	expect(inUs(1.0444, 'L/1000 m³', 'small')).toMatchObject({ value: expect.closeTo(1, 3), unit: 'fl oz/1000 ft³' });
	expect(inUs(1.0444, 'mL/m³').value).toBeCloseTo(inUs(1044.4, 'mL/1000 m³').value, 9);
	expect(inUs(3.05, 'g/m²')).toMatchObject({ value: expect.closeTo(10, 1), unit: 'oz/1000 ft²' });
	expect(inUs(3.05, 'g/m²').value).toBeCloseTo(inUs(305, 'g/100 m²').value, 9);
	expect(sizeFor([0.5, 2.5], 'L/ha')).toBe('small');
	expect(sizeFor([0.5, 200], 'L/ha')).toBe('large');
	expect(sizeFor([0, 0], 'L')).toBe('large');
});

test('warmth has a zero of its own, and what has no US unit stays', () => {
	expect(['-40', '0', '37', '100'].map((one) => inUs(Number(one), '°C').value)).toEqual([
		-40,
		32,
		expect.closeTo(98.6, 9),
		212,
	]);
	for (const unit of ['%', 'h', 'days', 'treatments', 'units', 'g/L', '']) {
		expect(inUs(12, unit)).toEqual({ value: 12, unit });
	}
});

test('a farm reads what goes with its rule set until it chooses', () => {
	expect(ruleSets.filter(({ id }) => usualUnits(id) !== 'metric').map(({ id }) => id)).toEqual(['us-7cfr110']);
	const ruleSet = 'us-7cfr110';
	expect(displayUnitsOf({ displayUnits: null, ruleSet })).toBe('US customary');
	expect(displayUnitsOf({ displayUnits: 'metric', ruleSet })).toBe('metric');
	expect(displayUnitsOf({ displayUnits: 'US customary', ruleSet: 'uk-code' })).toBe('US customary');
});
