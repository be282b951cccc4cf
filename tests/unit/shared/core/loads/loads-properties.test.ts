import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Load } from '../../../../../shared/core/loads/load-contents.ts';
import type { LoadsRequest, ProductToLoad } from '../../../../../shared/core/loads/loads-request.ts';
import { planLoads } from '../../../../../shared/core/loads/plan-loads.ts';

const SEED = 20_240_517;
const figure = (min: number, max: number, decimals: number) =>
	fc
		.integer({ min: Math.round(min * 10 ** decimals), max: Math.round(max * 10 ** decimals) })
		.map((n) => n / 10 ** decimals);

const measures = fc.record({
	packSizes: fc.uniqueArray(fc.constantFrom(0.5, 1, 2.5, 5, 10, 20), { maxLength: 3 }),
	openedPack: fc.oneof(fc.constant(0), figure(0, 12, 2)),
});
const liquid = fc.record({ dosePerHa: figure(0.05, 4, 3), measures }).map(
	({ dosePerHa, measures }): ProductToLoad => ({
		name: 'liquid',
		formulation: 'EC',
		unit: 'L',
		dosePerHa,
		...measures,
	}),
);
const liquidByMass = fc.record({ dosePer100L: figure(0.05, 1, 2), relativeDensity: figure(0.8, 1.4, 2), measures }).map(
	({ measures, ...given }): ProductToLoad => ({
		name: 'by mass',
		formulation: 'SL',
		unit: 'kg',
		...given,
		...measures,
	}),
);
const solid = fc.record({ dosePerHa: figure(0.01, 3, 3), relativeDensity: fc.option(figure(1, 2, 1)), measures }).map(
	({ measures, ...given }): ProductToLoad => ({
		name: 'solid',
		formulation: 'WG',
		unit: 'kg',
		...given,
		...measures,
	}),
);
const withLabel = (atMaximum: boolean) => (line: ProductToLoad) =>
	atMaximum && typeof line.dosePerHa === 'number' ? { ...line, maxDosePerHa: line.dosePerHa } : line;

const requests: fc.Arbitrary<LoadsRequest> = fc
	.record({
		areaHa: figure(0.5, 250, 2),
		sprayVolumeLPerHa: figure(50, 400, 1),
		strategy: fc.constantFrom('full', 'even', 'whole containers', undefined),
		capacityL: figure(600, 6000, 0),
		minimumShare: figure(0, 0.9, 1),
		unsprayableL: fc.oneof(fc.constant(0), figure(1, 80, 0)),
		leftShare: fc.oneof({ weight: 3, arbitrary: fc.constant(0) }, { weight: 1, arbitrary: figure(0, 1, 2) }),
		products: fc.array(fc.oneof(liquid, liquidByMass, solid), { maxLength: 4 }),
		atMaximum: fc.boolean(),
		measureStep: fc.constantFrom(0.01, 0.05, 0.1),
	})
	.map(({ capacityL, minimumShare, unsprayableL, leftShare, atMaximum, products, ...request }) => ({
		...request,
		products: products.map(withLabel(atMaximum)),
		tank: {
			capacityL,
			minimumL: minimumShare * capacityL,
			unsprayableL,
			leftInTankL: leftShare * capacityL,
			leftIsSameMix: true,
		},
	}));

/** Runs a check over plans of at least one load. */
function forEveryPlan(check: (request: LoadsRequest, loads: readonly Load[]) => void): void {
	fc.assert(
		fc.property(requests, (request) => {
			const plan = planLoads(request);
			if (!plan.ok) throw new Error(`refused: ${plan.problem.code}`);
			if (plan.value.loads.length > 0) check(request, plan.value.loads);
		}),
		{ seed: SEED, numRuns: 400 },
	);
}

const total = (figures: readonly number[]): number => figures.reduce((sum, figure) => sum + figure, 0);
const doseOf = (line: ProductToLoad, volume: number): number =>
	line.dosePerHa ?? ((line.dosePer100L ?? 0) * volume) / 100;

describe('what always holds', () => {
	test('the areas of the loads add up to the area of the job', () => {
		forEveryPlan(({ areaHa }, loads) => expect(total(loads.map((load) => load.areaHa))).toBeCloseTo(areaHa, 8));
	});

	test('the new mix adds up, and each load carries in what the one before left', () => {
		forEveryPlan(({ areaHa, sprayVolumeLPerHa, tank }, loads) => {
			const due = areaHa * sprayVolumeLPerHa + tank.unsprayableL - tank.leftInTankL;
			expect(total(loads.map((load) => load.newMixL))).toBeCloseTo(due, 6);
			loads.forEach((load, index) => {
				expect(load.carriedInL).toBeCloseTo(index === 0 ? tank.leftInTankL : tank.unsprayableL, 6);
				expect(load.newMixL).toBeGreaterThanOrEqual(0);
			});
		});
	});

	test('there are no more loads than needed, and none above the tank', () => {
		forEveryPlan(({ areaHa, sprayVolumeLPerHa, tank }, loads) => {
			const full = (areaHa * sprayVolumeLPerHa) / (tank.capacityL - tank.unsprayableL);
			expect(loads.length).toBe(Math.max(1, Math.ceil(full - 1e-9)));
			for (const load of loads) expect(load.totalL).toBeLessThanOrEqual(tank.capacityL);
		});
	});

	test('no load stays below the least while a split keeps it', () => {
		forEveryPlan(({ areaHa, sprayVolumeLPerHa, tank }, loads) => {
			const standing = areaHa * sprayVolumeLPerHa + loads.length * tank.unsprayableL;
			const least = Math.max(tank.minimumL, tank.leftInTankL) + (loads.length - 1) * tank.minimumL;
			if (standing < least) return;
			for (const load of loads) expect(load.totalL).toBeGreaterThanOrEqual(tank.minimumL - 1e-6);
		});
	});

	test('water and products make up the new mix', () => {
		forEveryPlan((_, loads) => {
			for (const load of loads) expect(load.waterL + load.displacementL).toBeCloseTo(load.newMixL, 8);
		});
	});

	test('opened pack, full packs and measured pour make up each amount; what is measured is whole steps', () => {
		forEveryPlan(({ measureStep }, loads) => {
			for (const { amount, fromOpened, fullPacks, measured } of loads.flatMap((load) => load.products)) {
				expect(fromOpened + total(fullPacks.map(({ size, count }) => size * count)) + measured).toBeCloseTo(amount, 6);
				expect(Math.abs(measured / measureStep - Math.round(measured / measureStep))).toBeLessThan(1e-4);
			}
		});
	});

	test('amounts add up within one step below the label maximum, and no load passes it', () => {
		forEveryPlan(({ products, sprayVolumeLPerHa, measureStep }, loads) => {
			for (const [index, line] of products.entries()) {
				const amounts = loads.map((load) => load.products[index]?.amount ?? Number.NaN);
				const dues = loads.map((load) => (doseOf(line, sprayVolumeLPerHa) * load.newMixL) / sprayVolumeLPerHa);
				const off = Math.abs(total(amounts) - total(dues));
				if (typeof line.maxDosePerHa !== 'number') expect(off).toBeLessThanOrEqual(measureStep + 1e-6);
				else
					for (const [load, amount] of amounts.entries()) expect(amount).toBeLessThanOrEqual((dues[load] ?? 0) + 1e-6);
			}
		});
	});

	test('whole containers measure no more than the others, and the strategy recommended is one of the fewest', () => {
		fc.assert(
			fc.property(requests, (request) => {
				const plan = planLoads({ ...request, strategy: undefined });
				if (!plan.ok) throw new Error(`refused: ${plan.problem.code}`);
				const pours = plan.value.alternatives.map((way) => way.measuredPours);
				expect([plan.value.totals.measuredPours, pours[2]]).toEqual([Math.min(...pours), Math.min(...pours)]);
			}),
			{ seed: SEED, numRuns: 200 },
		);
	});
});
