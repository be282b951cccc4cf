import { describe, expect, test } from 'vitest';
import type { LoadsRequest, ProductToLoad } from '../../shared/core/loads/loads-request.ts';
import { type LoadsPlan, planLoads } from '../../shared/core/loads/plan-loads.ts';

/** International pound, avoirdupois ounce, US gallon, pint and fluid ounce, acre: exact by definition. */
const KG_PER_POUND = 0.45359237;
const KG_PER_OUNCE = KG_PER_POUND / 16;
const L_PER_US_GALLON = 3.785411784;
const L_PER_US_PINT = L_PER_US_GALLON / 8;
const L_PER_US_FLUID_OUNCE = L_PER_US_GALLON / 128;
const HA_PER_ACRE = 0.40468564224;

function plan(areaHa: number, sprayVolumeLPerHa: number, capacityL: number, line: ProductToLoad): LoadsPlan {
	const tank = { capacityL, minimumL: 0, unsprayableL: 0, leftInTankL: 0, leftIsSameMix: true };
	const request: LoadsRequest = {
		areaHa,
		sprayVolumeLPerHa,
		strategy: 'full',
		tank,
		products: [line],
		measureStep: 0.000001,
	};
	const made = planLoads(request);
	if (!made.ok) throw new Error(made.problem.code);
	return made.value;
}

const powder: ProductToLoad = {
	name: 'powder',
	formulation: 'WP',
	unit: 'kg',
	packSizes: [],
	openedPack: 0,
	relativeDensity: 1.5,
};
const liquid: ProductToLoad = { name: 'liquid', formulation: 'EC', unit: 'L', packSizes: [], openedPack: 0 };
const amounts = ({ loads }: LoadsPlan): (number | undefined)[] => loads.map((load) => load.products[0]?.amount);
const totals = ({ loads }: LoadsPlan): number[] => loads.map((load) => load.totalL);

describe('number of loads', () => {
	/** Canadian applicator course, *Calculating Spray Application Information*, docslib.org/doc/1861139. */
	test('20 ha at 200 L/ha from a 1,000 L tank: 4,000 L, 4 tanks', () => {
		const made = plan(20, 200, 1000, { ...liquid, dosePerHa: 1 });
		expect([made.totals.newMixL, totals(made)]).toEqual([4000, [1000, 1000, 1000, 1000]]);
	});

	/** Alberta Agriculture, Agdex 606-1, p. 11. The share of the tank is worked out from its figures. */
	test('30 acres at 40 L/acre from a 2,000 L tank: 1,200 L, 60 % of one tank', () => {
		const made = plan(30 * HA_PER_ACRE, 40 / HA_PER_ACRE, 2000, { ...liquid, dosePerHa: 1 });
		expect(totals(made)).toEqual([1200]);
	});

	/** Worked out: 3,000 L ÷ 150 L/ha = 20 ha; × 0.8 L/ha = 16.0 L. */
	test('a full tank of 3,000 L at 150 L/ha sprays 20 ha and takes 16.0 L at 0.8 L/ha', () => {
		const [full] = plan(26, 150, 3000, { ...liquid, dosePerHa: 0.8 }).loads;
		expect([full?.areaHa, full?.products[0]?.amount]).toEqual([20, 16]);
	});
});

describe('product per load', () => {
	/** *Agrochemical and Pesticide Safety*, example 4, what-when-how.com/Tutorial/topic-166581h5j, page 128. */
	test('last part tank of 3.5 acres at 15 US gal/acre and 3 lb/acre: 52.5 gal, 10.5 lb', () => {
		const volume = (15 * L_PER_US_GALLON) / HA_PER_ACRE;
		const made = plan(3.5 * HA_PER_ACRE, volume, 1000, { ...powder, dosePerHa: (3 * KG_PER_POUND) / HA_PER_ACRE });
		expect([(made.loads[0]?.totalL ?? 0) / L_PER_US_GALLON, (amounts(made)[0] ?? 0) / KG_PER_POUND]).toEqual([
			expect.closeTo(52.5, 8),
			expect.closeTo(10.5, 5),
		]);
	});

	/** The same book, example 1, page 126. */
	test('500 US gal tank at 2 lb per 100 gal: 10 lb', () => {
		const tank = 500 * L_PER_US_GALLON;
		const made = plan(tank / 200, 200, tank, { ...powder, dosePer100L: (2 * KG_PER_POUND) / L_PER_US_GALLON });
		expect(amounts(made).map((amount) => (amount ?? 0) / KG_PER_POUND)).toEqual([expect.closeTo(10, 5)]);
	});

	/** Pesticide education wiki, *Calculations for Mixing*, pesticidesafety.org. */
	test('2 lb per 100 US gal in loads of 300 and 20 gal: 6 lb and 6.4 oz', () => {
		const made = plan((320 * L_PER_US_GALLON) / 200, 200, 300 * L_PER_US_GALLON, {
			...powder,
			dosePer100L: (2 * KG_PER_POUND) / L_PER_US_GALLON,
		});
		expect(amounts(made)).toEqual([expect.closeTo(6 * KG_PER_POUND, 5), expect.closeTo(6.4 * KG_PER_OUNCE, 5)]);
	});

	/** The same page, the liquid. */
	test('2 US pt per 100 US gal in loads of 300 and 20 gal: 6 pt and 6.4 fl oz', () => {
		const made = plan((320 * L_PER_US_GALLON) / 200, 200, 300 * L_PER_US_GALLON, {
			...liquid,
			dosePer100L: (2 * L_PER_US_PINT) / L_PER_US_GALLON,
		});
		expect(amounts(made)).toEqual([
			expect.closeTo(6 * L_PER_US_PINT, 5),
			expect.closeTo(6.4 * L_PER_US_FLUID_OUNCE, 5),
		]);
	});
});

/**
 * "Make up to the total": simple addition of product volumes is right to better than 0.09 % for an EC, a soluble liquid
 * and a flowable (National Cotton Council, Beltwide Proceedings 8395, abstract 3922). The two sums are worked out.
 */
describe('room the products take up', () => {
	test('8 L/ha of liquids on 20 ha: 160 L less water in a 4,000 L load', () => {
		const [load] = plan(20, 200, 4000, { ...liquid, dosePerHa: 8 }).loads;
		expect([load?.displacementL, load?.waterL]).toEqual([160, 3840]);
	});

	/** 0.7 L/kg is from memory: true density of such powders 1.3 to 1.7 kg/L. */
	test('1.5 kg/ha of a powder of unknown density on 20 ha: 21 L', () => {
		const made = plan(20, 200, 4000, { ...powder, relativeDensity: null, dosePerHa: 1.5 });
		expect([made.loads[0]?.displacementL, made.loads[0]?.waterL, made.warnings.map((note) => note.code)]).toEqual([
			21,
			3979,
			['product.displacementAssumed'],
		]);
	});
});
