import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
	doseOf,
	doseUnits,
	doseUnitsOf,
	plainDoseUnit,
	sayDose,
	seedDoseWay,
	unitsInUse,
} from '../../../../../shared/core/loads/dose-units.ts';

test('a dose in each unit is what a hand calculation gives', () => {
	// One international acre is 0.40468564224 ha.
	expect(doseUnits.map((unit) => [unit, doseOf({ value: 2, unit })])).toEqual([
		['L/ha', { way: 'dosePerHa', figure: 2 }],
		['mL/ha', { way: 'dosePerHa', figure: 0.002 }],
		['L/acre', { way: 'dosePerHa', figure: expect.closeTo(4.942107629, 8) }],
		['mL/acre', { way: 'dosePerHa', figure: expect.closeTo(0.004942107629, 11) }],
		// 29.5735295625 mL, 473.176473 mL, 946.352946 mL and 3.785411784 L on an acre.
		['fl oz/acre', { way: 'dosePerHa', figure: expect.closeTo(0.1461555662, 6) }],
		['pt/acre', { way: 'dosePerHa', figure: expect.closeTo(2.3384890572, 6) }],
		['qt/acre', { way: 'dosePerHa', figure: expect.closeTo(4.6769781145, 6) }],
		['gal/acre', { way: 'dosePerHa', figure: expect.closeTo(18.7079124579, 6) }],
		['L/100 L', { way: 'dosePer100L', figure: 2 }],
		['mL/100 L', { way: 'dosePer100L', figure: 0.002 }],
		['% v/v', { way: 'dosePercent', figure: 2 }],
		['L/100 kg', { way: 'dosePer100Kg', figure: 2 }],
		['mL/100 kg', { way: 'dosePer100Kg', figure: 0.002 }],
		['L/t', { way: 'dosePer100Kg', figure: 0.2 }],
		['mL/t', { way: 'dosePer100Kg', figure: 0.0002 }],
		['L/unit', { way: 'dosePerUnit', figure: 2 }],
		['mL/unit', { way: 'dosePerUnit', figure: 0.002 }],
		['mL/m³', { way: 'dosePerM3', figure: expect.closeTo(0.002, 12) }],
		['mL/1000 m³', { way: 'dosePerM3', figure: expect.closeTo(0.000002, 12) }],
		['L/1000 m³', { way: 'dosePerM3', figure: expect.closeTo(0.002, 12) }],
		['mL/m²', { way: 'dosePerM2', figure: expect.closeTo(0.002, 12) }],
		['mL/100 m²', { way: 'dosePerM2', figure: expect.closeTo(0.00002, 12) }],
		['L/100 m²', { way: 'dosePerM2', figure: expect.closeTo(0.02, 12) }],
		['kg/ha', { way: 'dosePerHa', figure: 2 }],
		['g/ha', { way: 'dosePerHa', figure: 0.002 }],
		['kg/acre', { way: 'dosePerHa', figure: expect.closeTo(4.942107629, 8) }],
		['g/acre', { way: 'dosePerHa', figure: expect.closeTo(0.004942107629, 11) }],
		// 28.349523125 g and 0.45359237 kg on an acre.
		['oz/acre', { way: 'dosePerHa', figure: expect.closeTo(0.1401063894, 6) }],
		['lb/acre', { way: 'dosePerHa', figure: expect.closeTo(2.2417022991, 6) }],
		['kg/100 L', { way: 'dosePer100L', figure: 2 }],
		['g/100 L', { way: 'dosePer100L', figure: 0.002 }],
		['kg/100 kg', { way: 'dosePer100Kg', figure: 2 }],
		['g/100 kg', { way: 'dosePer100Kg', figure: 0.002 }],
		['kg/t', { way: 'dosePer100Kg', figure: 0.2 }],
		['g/t', { way: 'dosePer100Kg', figure: 0.0002 }],
		['kg/unit', { way: 'dosePerUnit', figure: 2 }],
		['g/unit', { way: 'dosePerUnit', figure: 0.002 }],
		['g/m³', { way: 'dosePerM3', figure: expect.closeTo(0.002, 12) }],
		['g/1000 m³', { way: 'dosePerM3', figure: expect.closeTo(0.000002, 12) }],
		['kg/1000 m³', { way: 'dosePerM3', figure: expect.closeTo(0.002, 12) }],
		['g/m²', { way: 'dosePerM2', figure: expect.closeTo(0.002, 12) }],
		['g/100 m²', { way: 'dosePerM2', figure: expect.closeTo(0.00002, 12) }],
		['kg/100 m²', { way: 'dosePerM2', figure: expect.closeTo(0.02, 12) }],
	]);
});

test('a dose that was said comes back as it was said', () => {
	const unit = fc.constantFrom(...doseUnits);
	fc.assert(
		fc.property(unit, fc.integer({ min: 1, max: 1_000_000 }), (unit, thousandths) => {
			const said = { value: thousandths / 1000, unit };
			const byLitre = [undefined, 'dosePer100Kg', 'dosePerUnit', 'dosePerM3', 'dosePerM2'] as const;
			const of = byLitre.some((seed) => doseUnitsOf('L', seed).includes(unit)) ? 'L' : 'kg';
			expect(sayDose(doseOf(said), of, unit)).toEqual(said);
		}),
		{ seed: 20270418 },
	);
});

test('units on seed are offered for seed alone, in the way it is counted', () => {
	expect([doseUnitsOf('L', seedDoseWay('kg')), doseUnitsOf('kg', seedDoseWay('unit'))]).toEqual([
		['L/100 kg', 'mL/100 kg', 'L/t', 'mL/t'],
		['kg/unit', 'g/unit'],
	]);
	expect(doseUnitsOf('L').filter((unit) => /kg|unit|\/t|m³|m²/.test(unit))).toEqual([]);
});

test('a unit of another way or another product is not taken', () => {
	expect(sayDose({ way: 'dosePerHa', figure: 1.5 }, 'L', '% v/v')).toEqual({ value: 1.5, unit: 'L/ha' });
	expect(sayDose({ way: 'dosePer100L', figure: 0.25 }, 'kg', 'mL/100 L')).toEqual({ value: 0.25, unit: 'kg/100 L' });
	expect([plainDoseUnit('kg'), plainDoseUnit('L', 'dosePercent')]).toEqual(['kg/ha', '% v/v']);
});

test('units of US labels come first where they are used, and stay away where they are not', () => {
	const all = doseUnitsOf('kg');
	expect(unitsInUse(all, { american: true })).toEqual([
		'oz/acre',
		'lb/acre',
		'kg/ha',
		'g/ha',
		'kg/acre',
		'g/acre',
		'kg/100 L',
		'g/100 L',
	]);
	expect(unitsInUse(all, { american: false })[0]).toBe('kg/ha');
	expect(unitsInUse(all, { american: false }).filter((unit) => /oz|lb/.test(unit))).toEqual([]);
});
