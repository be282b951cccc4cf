import { describe, expect, test } from 'vitest';
import { asWater, shareCarrier } from '../../shared/core/loads/fertiliser-carrier.ts';
import { dosePerHaSown } from '../../shared/core/loads/seed.ts';
import { planWithoutWater } from '../../shared/core/loads/without-water.ts';

/** International pound, US gallon and acre, square foot: exact by definition. */
const KG_PER_POUND = 0.45359237;
const L_PER_US_GALLON = 3.785411784;
const HA_PER_ACRE = 0.40468564224;
const SQUARE_FEET_PER_ACRE = 43_560;

describe('liquids heavier than water', () => {
	/** University of Nebraska-Lincoln, *Setting the Sprayer Flow Rate for Non-Water Solutions*, 2016, table 1. */
	test.each([
		['kerosene', 0.79, 0.89],
		['7.0 lb/gal', 0.84, 0.92],
		['8.0 lb/gal', 0.96, 0.98],
		['water', 1, 1],
		['9.0 lb/gal', 1.08, 1.04],
		['10.0 lb/gal', 1.2, 1.1],
		['28-0-0', 1.28, 1.13],
		['7-21-7', 1.32, 1.15],
		['10-34-0', 1.37, 1.17],
		['12-0-0-26', 1.38, 1.17],
		['11-37-0', 1.39, 1.18],
		['12.0 lb/gal', 1.44, 1.2],
	])('%s, relative density %f, has the factor %f', (_, density, factor) => {
		expect(Number(asWater(1, density).toFixed(2))).toBe(factor);
	});

	/** The same, example 1, and Oklahoma State University Extension, *Using Water to Calibrate Sprayers for Fertilizers*. */
	test('20 gal/acre of 28 % nitrogen are set as 22.6 gal/acre of water', () => {
		expect(Number(asWater(20, 10.65 / 8.34).toFixed(1))).toBe(22.6);
	});

	/** The same, example 2: 10.65 lb/gal × 0.28 = 2.982 lb N/gal; 75 lb N = 25.151 gal. */
	test('25.151 gal/acre of 28 % nitrogen carry 75 lb of nitrogen', () => {
		const density = (10.65 * KG_PER_POUND) / L_PER_US_GALLON;
		const lPerHa = (25.151 * L_PER_US_GALLON) / HA_PER_ACRE;
		const shares = shareCarrier([{ newMixL: lPerHa, waterL: lPerHa }], lPerHa, {
			densityKgPerL: density,
			lPerHa: null,
		});
		const [share] = shares.ok ? shares.value : [];
		const pounds = (((share?.carrierKg ?? 0) * 0.28) / KG_PER_POUND) * HA_PER_ACRE;
		expect(Number(pounds.toFixed(2))).toBe(75);
	});
});

function amountOf(quantity: number, dose: number): number | undefined {
	const plan = planWithoutWater({
		quantity,
		most: null,
		strategy: 'full',
		measureStep: 0.001,
		products: [{ product: { name: 'granules', unit: 'kg', packSizes: [], openedPack: 0 }, dose, maxDose: null }],
	});
	return plan.ok ? plan.value.amounts[0] : undefined;
}

describe('granules', () => {
	/** Virginia Cooperative Extension turf training, *How much to use*: dry material example. */
	test('50 lb on 6,000 square feet are 75 lb on 9,000', () => {
		expect(amountOf(9000, 50 / 6000)).toBe(75);
	});

	/** University of Florida, *Dry chemical applicator calibration*, table 1: published as 200 lb/acre from 20 lb. */
	test('200 lb/acre over a course of 10 × 435 feet are 20 lb', () => {
		expect(Math.round(amountOf((10 * 435) / SQUARE_FEET_PER_ACRE, 200) ?? 0)).toBe(20);
	});
});

describe('seed', () => {
	/** Worked out: labels give doses to 100 kg of seed, common practice. */
	test('0.2 L to 100 kg is 10 L on 5 t, and 0.36 L/ha sown at 180 kg/ha', () => {
		expect(amountOf(5000 / 100, 0.2)).toBe(10);
		expect(Number(dosePerHaSown(0.2, { amount: 180, unit: 'kg' }, 1).toFixed(9))).toBe(0.36);
	});
});
