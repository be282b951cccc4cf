import { describe, expect, test } from 'vitest';
import {
	type ActiveContent,
	activeSubstance,
	type MeasuredProduct,
} from '../../shared/core/products/active-substance.ts';
import {
	fluidOuncesToLitres,
	gallonsPerAcreToLitresPerHectare,
	L_PER_US_PINT,
	poundsPerAcreToKilogramsPerHectare,
	poundsPerGallonToGramsPerLitre,
} from '../../shared/core/sprayers/us-customary.ts';
import { M2_PER_ACRE, M2_PER_HECTARE } from '../../shared/units/area.ts';

const litres: MeasuredProduct = { unit: 'L', relativeDensity: null };
const kilograms: MeasuredProduct = { unit: 'kg', relativeDensity: null };

function grams(amount: number, product: MeasuredProduct, content: number, contentUnit: ActiveContent['contentUnit']) {
	const result = activeSubstance(amount, product, { substance: 'any', content, contentUnit });
	return result.ok ? result.value : result.problem;
}

describe('active substance in a dose (arithmetic of units)', () => {
	test('1.0 L/ha × 250 g/L', () => expect(grams(1, litres, 250, 'g/L')).toBe(250));
	test('0.8 kg/ha × 700 g/kg', () => expect(grams(0.8, kilograms, 700, 'g/kg')).toBe(560));
	test('0.8 kg/ha × 70 %', () => expect(grams(0.8, kilograms, 70, '%')).toBe(560));
	test('3 L/ha × 360 g acid equivalent per litre', () => expect(grams(3, litres, 360, 'g/L')).toBe(1080));
	test('copper: 2.0 kg/ha × 350 g/kg', () => expect(grams(2, kilograms, 350, 'g/kg')).toBe(700));
	test('9.896 L on a measured field × 480 g/L', () => expect(grams(9.896, litres, 480, 'g/L')).toBeCloseTo(4750.08, 6));
});

/** *Agrochemical and Pesticide Safety*, textbook extract, ex. 5: 2 lb a.i./acre from an 80 % WP takes 2.5 lb product/acre. */
test('2.5 lb of an 80 % powder per acre is 2 lb of active per acre', () => {
	const productPerHa = poundsPerAcreToKilogramsPerHectare(2.5);
	const activePerHa = poundsPerAcreToKilogramsPerHectare(2) * 1000;
	expect(grams(productPerHa, kilograms, 80, '%')).toBeCloseTo(activePerHa, 9);
});

test('2 pt/ac × 4 lb/gal is 1.0 lb a.i./ac, 1.1209 kg/ha', () => {
	const doseLPerHa = (2 * L_PER_US_PINT * M2_PER_HECTARE) / M2_PER_ACRE;
	expect(grams(doseLPerHa, litres, poundsPerGallonToGramsPerLitre(4), 'g/L')).toBeCloseTo(1120.851, 3);
});

/** Legal definitions of 1959: the conversions every handbook prints, to the digits it prints. */
test('US customary units', () => {
	expect({
		kgPerHaOfOneLbPerAcre: Number(poundsPerAcreToKilogramsPerHectare(1).toFixed(6)),
		lPerHaOfOneGallonPerAcre: Number(gallonsPerAcreToLitresPerHectare(1).toFixed(6)),
		mlPerHaOfOneOuncePerAcre: Number(((fluidOuncesToLitres(1) * 1000 * M2_PER_HECTARE) / M2_PER_ACRE).toFixed(4)),
		gPerLOfOneLbPerGallon: Number(poundsPerGallonToGramsPerLitre(1).toFixed(3)),
		haOfOneAcre: Number((M2_PER_ACRE / M2_PER_HECTARE).toFixed(6)),
	}).toEqual({
		kgPerHaOfOneLbPerAcre: 1.120851,
		lPerHaOfOneGallonPerAcre: 9.353956,
		mlPerHaOfOneOuncePerAcre: 73.0778,
		gPerLOfOneLbPerGallon: 119.826,
		haOfOneAcre: 0.404686,
	});
});
