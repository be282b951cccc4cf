import { describe, expect, test } from 'vitest';
import { planLoads } from '../../../../../shared/core/loads/plan-loads.ts';
import { job, planOf, product } from './job.ts';

const loadAreas = (request: Parameters<typeof planOf>[0]) => planOf(request).loads.map((load) => load.areaHa);
const tankTotals = (request: Parameters<typeof planOf>[0]) => planOf(request).loads.map((load) => load.totalL);

describe('a job of two loads', () => {
	test('full: a full tank, then the remainder', () => {
		expect(planOf(job({ strategy: 'full' }))).toEqual({
			strategy: 'full',
			loads: [
				{
					areaHa: 4000 / 150,
					newMixL: 4000,
					carriedInL: 0,
					totalL: 4000,
					waterL: 3966.67,
					displacementL: 33.33,
					products: [{ name: 'A', amount: 33.33, fromOpened: 0, fullPacks: [{ size: 5, count: 6 }], measured: 3.33 }],
					containersToHandle: 7,
					measuredPours: 1,
				},
				{
					areaHa: 3095 / 150,
					newMixL: 3095,
					carriedInL: 0,
					totalL: 3095,
					waterL: 3069.2,
					displacementL: 25.8,
					products: [{ name: 'A', amount: 25.8, fromOpened: 1.67, fullPacks: [{ size: 5, count: 4 }], measured: 4.13 }],
					containersToHandle: 6,
					measuredPours: 1,
				},
			],
			alternatives: [
				{ strategy: 'full', loads: 2, measuredPours: 2, containersOpened: 12, lastLoadL: 3095 },
				{ strategy: 'even', loads: 2, measuredPours: 2, containersOpened: 12, lastLoadL: 3547.5 },
				{ strategy: 'whole containers', loads: 2, measuredPours: 1, containersOpened: 12, lastLoadL: 3495 },
			],
			totals: {
				areaHa: 47.3,
				newMixL: 7095,
				waterL: expect.closeTo(7035.87, 9),
				displacementL: expect.closeTo(59.13, 9),
				products: [{ name: 'A', unit: 'L', dosePerHa: 1.25, amount: 59.13 }],
				containersToHandle: 13,
				containersOpened: 12,
				measuredPours: 2,
			},
			warnings: [],
		});
	});

	test('even: both loads spray the same area', () => {
		expect(loadAreas(job({ strategy: 'even' }))).toEqual([23.65, 23.65]);
	});

	test('whole containers: the first load ends where a can is empty, nearest to the middle', () => {
		const { loads } = planOf(job({ strategy: 'whole containers' }));
		expect(loads.map((load) => [load.areaHa, load.measuredPours, load.products[0]?.fullPacks])).toEqual([
			[24, 0, [{ size: 5, count: 6 }]],
			[expect.closeTo(23.3, 9), 1, [{ size: 5, count: 5 }]],
		]);
	});

	test('a whole tank is one load, whatever the last binary digit says', () => {
		expect(tankTotals(job({ areaHa: 40, sprayVolumeLPerHa: 100, tank: { minimumL: 0 } }))).toEqual([4000]);
		expect(tankTotals(job({ areaHa: 0.3, sprayVolumeLPerHa: 100, tank: { capacityL: 10, minimumL: 0 } }))).toEqual([
			10, 10, 10,
		]);
	});
});

describe('the strategy recommended', () => {
	test('is the one with the fewest measured pours', () => {
		expect(planOf(job()).strategy).toBe('whole containers');
	});

	test('is the plainest where all measure alike', () => {
		expect(planOf(job({ products: [product({ packSizes: [] })] })).strategy).toBe('full');
		expect(planOf(job({ products: [] })).strategy).toBe('full');
	});
});

describe('the least load', () => {
	test('takes what it lacks from the full load before it', () => {
		expect(tankTotals(job({ areaHa: 55, strategy: 'full', tank: { minimumL: 600 } }))).toEqual([4000, 3650, 600]);
	});

	test('takes it from several where one has not enough', () => {
		expect(tankTotals(job({ areaHa: 82, sprayVolumeLPerHa: 100, strategy: 'full', tank: { minimumL: 2500 } }))).toEqual(
			[3200, 2500, 2500],
		);
	});

	test('cannot be kept by any split: planned, with a warning', () => {
		const plan = planOf(job({ areaHa: 42, sprayVolumeLPerHa: 100, strategy: 'full', tank: { minimumL: 3000 } }));
		expect([plan.loads.map((load) => load.totalL), plan.warnings]).toEqual([
			[4000, 200],
			[
				{
					code: 'load.belowMinimum',
					message:
						'Load 2 holds 200 L, below the smallest load of 3000 L, and the job cannot be split otherwise. See that it still agitates.',
					record: 'load 2',
				},
			],
		]);
	});

	test('is above the whole job: planned, with a warning', () => {
		expect(planOf(job({ areaHa: 2 })).warnings.map((warning) => warning.code)).toEqual(['load.belowMinimum']);
	});
});

describe('unsprayable litres and mix left in the tank', () => {
	const tank = { capacityL: 3000, minimumL: 0, unsprayableL: 40, leftInTankL: 0 };

	test('the first load fills sump and lines, the later ones carry it in', () => {
		const { loads } = planOf(job({ areaHa: 30, sprayVolumeLPerHa: 200, strategy: 'full', tank }));
		expect(loads.map((load) => [load.newMixL, load.carriedInL, load.totalL, load.areaHa])).toEqual([
			[3000, 0, 3000, 14.8],
			[2960, 40, 3000, 14.8],
			[80, 40, 120, 0.4],
		]);
	});

	test('mix left in the tank is used in the first load', () => {
		const { loads, totals } = planOf(
			job({ areaHa: 20, sprayVolumeLPerHa: 200, strategy: 'even', tank: { ...tank, leftInTankL: 300 } }),
		);
		expect([loads.map((load) => [load.newMixL, load.carriedInL, load.areaHa]), totals.products[0]?.amount]).toEqual([
			[
				[1740, 300, 10],
				[2000, 40, 10],
			],
			// 1.25 L/ha × 3,740 L ÷ 200 L/ha = 23.375 L
			23.38,
		]);
	});

	test('more than an even share left: the first load is that, and needs nothing', () => {
		const { loads } = planOf(
			job({
				areaHa: 25,
				sprayVolumeLPerHa: 200,
				strategy: 'even',
				tank: { ...tank, unsprayableL: 0, leftInTankL: 2900 },
			}),
		);
		expect(loads.map((load) => [load.newMixL, load.carriedInL, load.products[0]?.amount])).toEqual([
			[0, 2900, 0],
			[2100, 0, 13.13],
		]);
	});

	test('enough left for the whole job: no loads, and a note', () => {
		const plan = planOf(job({ areaHa: 5, sprayVolumeLPerHa: 200, tank: { ...tank, leftInTankL: 1040 } }));
		expect([plan.loads, plan.totals.newMixL, plan.warnings.map((warning) => warning.code)]).toEqual([
			[],
			0,
			['load.nothingToMix'],
		]);
	});
});

describe('refusals', () => {
	const tank = { capacityL: 3000, minimumL: 0, unsprayableL: 0, leftInTankL: 0, leftIsSameMix: true };
	test.each([
		['area of nothing', job({ areaHa: 0 }), 'area.notPositive', { path: 'areaHa' }],
		['negative area', job({ areaHa: -3 }), 'area.notPositive', { path: 'areaHa' }],
		[
			'minimum above the tank',
			job({ tank: { ...tank, minimumL: 3001 } }),
			'sprayer.minimumAboveCapacity',
			{ path: 'tank.minimumL', minimumL: 3001, capacityL: 3000 },
		],
		[
			'unsprayable litres fill the tank',
			job({ tank: { ...tank, unsprayableL: 3000 } }),
			'load.unsprayableAboveCapacity',
			{ path: 'tank.unsprayableL', unsprayableL: 3000, capacityL: 3000 },
		],
		[
			'another mix in the tank',
			job({ tank: { ...tank, leftInTankL: 50, leftIsSameMix: false } }),
			'load.otherMixInTank',
			{ path: 'tank.leftInTankL', leftL: 50 },
		],
		[
			'more left in the tank than it holds',
			job({ tank: { ...tank, leftInTankL: 3100 } }),
			'load.leftAboveCapacity',
			{ path: 'tank.leftInTankL', leftL: 3100, capacityL: 3000 },
		],
		['a slip in the area', job({ areaHa: 473_000 }), 'load.tooMany', { loads: 17738, most: 1000 }],
		[
			'a slip in the pack size',
			job({ products: [product({ packSizes: [5, 0.001] })] }),
			'load.tooManyContainers',
			{ path: 'products.0.packSizes', product: 'A', containers: 59125, most: 20000 },
		],
		[
			'products fill the load',
			job({ strategy: 'even', products: [product({ dosePerHa: 100 }), product({ name: 'B', dosePerHa: 50 })] }),
			'load.noRoomForWater',
			{ load: 1, productL: expect.closeTo(3547.5, 6), mixL: 3547.5 },
		],
	] as const)('%s', (_, request, code, details) => {
		expect(planLoads(request)).toEqual({ ok: false, problem: { code, details } });
	});
});

describe('notes beside a good plan', () => {
	test('a step too coarse for a small dose', () => {
		const seed = product({ formulation: 'WG', unit: 'kg', dosePerHa: 0.0075, relativeDensity: 1.5, packSizes: [0.1] });
		expect(planOf(job({ areaHa: 4, products: [seed], strategy: 'full', measureStep: 0.05 })).warnings).toContainEqual({
			code: 'load.stepTooCoarse',
			message: 'A: load 1 needs 0.03 kg, in steps of 0.05 it gets 0.05. Measure in finer steps.',
			record: 'A',
		});
	});

	test('a share that rounds to nothing still counts as a pour', () => {
		const small = product({ dosePerHa: 0.01, packSizes: [1] });
		const plan = planOf(job({ areaHa: 4, products: [small], strategy: 'full', measureStep: 0.1 }));
		expect([
			plan.loads[0]?.products[0]?.amount,
			plan.totals.measuredPours,
			plan.warnings.map((note) => note.code),
		]).toEqual([0, 1, ['load.stepTooCoarse']]);
	});
});
