import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formulationWarnings, machineFor, typeOfUse } from '../../../../../shared/core/loads/application-kind.ts';
import { planNeatLoads } from '../../../../../shared/core/loads/neat-loads.ts';
import { dosePerHaSown } from '../../../../../shared/core/loads/seed.ts';
import {
	type DryRequest,
	hectaresPerHopper,
	planWithoutWater,
} from '../../../../../shared/core/loads/without-water.ts';

const pellets = { name: 'pellets', unit: 'kg' as const, packSizes: [20], openedPack: 0 };

function dry(over: Partial<DryRequest>) {
	const plan = planWithoutWater({
		quantity: 31,
		most: hectaresPerHopper(70, 5),
		measureStep: 0.01,
		products: [{ product: pellets, dose: 5, maxDose: null }],
		...over,
	});
	return plan.ok ? plan.value : plan.problem;
}

describe('hopper fills', () => {
	test('155 kg from a hopper of 70 kg: three fills, and the whole bags fall where the job is broken', () => {
		const plan = dry({});
		if ('code' in plan) throw new Error(plan.code);
		expect(plan.loads.map(({ products }) => products[0]?.amount)).toEqual([60, 40, 55]);
		expect(plan.strategy).toBe('whole containers');
		expect(
			plan.alternatives.map(({ strategy, loads, measuredPours, last }) => [strategy, loads, measuredPours, last]),
		).toEqual([
			['full', 3, 2, 3],
			['even', 3, 3, expect.closeTo(31 / 3, 6)],
			['whole containers', 3, 1, 11],
		]);
		expect(plan.amounts).toEqual([155]);
	});

	test('a hopper that is large enough is filled once; nothing to spread is refused', () => {
		const once = dry({ most: null });
		expect('code' in once ? once : once.loads.map(({ quantity }) => quantity)).toEqual([31]);
		expect(dry({ quantity: 0 })).toMatchObject({ code: 'area.notPositive' });
		expect(dry({ products: [{ product: pellets, dose: 0, maxDose: null }] })).toMatchObject({
			code: 'load.doseNotPositive',
		});
	});

	test('fills add up to rate × area, and none holds more than the hopper and one step', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0.5, max: 300, noNaN: true }),
				fc.double({ min: 0.5, max: 400, noNaN: true }),
				fc.double({ min: 20, max: 3000, noNaN: true }),
				fc.constantFrom('full' as const, 'even' as const, 'whole containers' as const),
				(areaHa, rate, hopperKg, strategy) => {
					const plan = dry({
						quantity: areaHa,
						most: hectaresPerHopper(hopperKg, rate),
						strategy,
						products: [{ product: pellets, dose: rate, maxDose: null }],
					});
					if ('code' in plan) return plan.code === 'load.tooMany' || plan.code === 'load.tooManyContainers';
					const amounts = plan.loads.map(({ products }) => products[0]?.amount ?? 0);
					const total = amounts.reduce((sum, amount) => sum + amount, 0);
					return Math.abs(total - rate * areaHa) <= 0.0101 && Math.max(...amounts) <= hopperKg + 0.0201;
				},
			),
			{ seed: 20_261_125, numRuns: 400 },
		);
	});
});

describe('a liquid without water', () => {
	const tank = { capacityL: 3000, minimumL: 0, unsprayableL: 0, leftInTankL: 0, leftIsSameMix: true };
	const fertiliser = { name: 'N 28', formulation: 'SL', unit: 'L' as const, packSizes: [], openedPack: 0 };

	test('40 ha at 200 L/ha from a tank of 3,000 L', () => {
		const plan = planNeatLoads({
			areaHa: 40,
			tank,
			measureStep: 1,
			strategy: 'full',
			product: { ...fertiliser, dosePerHa: 200 },
		});
		expect(plan.ok && [plan.value.litresPerHa, plan.value.totals.waterL]).toEqual([200, 0]);
		expect(
			plan.ok && plan.value.loads.map(({ totalL, waterL, displacementL }) => [totalL, waterL, displacementL]),
		).toEqual([
			[3000, 0, 3000],
			[3000, 0, 3000],
			[2000, 0, 2000],
		]);
	});

	test('sold by mass it needs its density, and then fills the tank by volume', () => {
		const byMass = { ...fertiliser, unit: 'kg' as const, dosePerHa: 256 };
		const bare = planNeatLoads({ areaHa: 10, tank, measureStep: 1, product: byMass });
		expect(bare.ok ? null : bare.problem.code).toBe('product.densityMissing');
		const plan = planNeatLoads({ areaHa: 10, tank, measureStep: 1, product: { ...byMass, relativeDensity: 1.28 } });
		expect(
			plan.ok && [plan.value.litresPerHa, plan.value.totals.newMixL, plan.value.totals.products[0]?.amount],
		).toEqual([200, 2000, 2560]);
	});
});

test('each kind has its machine and its type of use', () => {
	expect(
		(['spray in water', 'neat liquid', 'granules', 'seed treatment'] as const).map((kind) => [
			machineFor(kind),
			typeOfUse(kind),
		]),
	).toEqual([
		['sprayer', 'treatment of surfaces'],
		['sprayer', 'treatment of surfaces'],
		['granule applicator', 'treatment of surfaces'],
		['seed treater', 'seed or plant reproductive material'],
	]);
});

test('a formulation that does not go with the kind is told, a fertiliser and unclear letters are not', () => {
	const product = (formulation: string, isFertiliser = false) => [{ name: 'A', formulation, isFertiliser }];
	const codes = (kind: Parameters<typeof formulationWarnings>[0], ...of: [string, boolean?]) =>
		formulationWarnings(kind, product(...of)).map(({ code }) => code);
	expect([
		codes('granules', 'WG'),
		codes('granules', 'GR'),
		codes('seed treatment', 'SC'),
		codes('seed treatment', 'FS'),
		codes('neat liquid', 'EC'),
		codes('neat liquid', 'UL'),
		codes('neat liquid', 'SL', true),
		codes('granules', 'XX'),
		codes('spray in water', 'GR'),
	]).toEqual([['product.notGranule'], [], ['product.notForSeed'], [], ['product.usuallyDiluted'], [], [], [], []]);
});

test('a dose to a unit of seed comes to the ground by the units sown', () => {
	expect(dosePerHaSown(0.015, { amount: 24, unit: 'unit' }, 12)).toBe(0.03);
});
