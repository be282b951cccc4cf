import type { Highs } from 'highs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { LoadsRequest } from '../../../../../shared/core/loads/loads-request.ts';
import { fewestPoursBySolver, loadSolver, measuredPoursAt, type PlainJob, plainJob } from '../../../../loads-milp.ts';
import { seededRandom } from '../../../seeded-random.ts';
import { job, planOf, product } from './job.ts';
import { randomJob } from './random-jobs.ts';

describe('breaking a job where containers run out', () => {
	test('two products that run out together: one break serves both', () => {
		const products = [
			product({ dosePerHa: 1, packSizes: [10] }),
			product({ name: 'B', dosePerHa: 0.5, packSizes: [5] }),
		];
		const { loads } = planOf(job({ areaHa: 46, sprayVolumeLPerHa: 100, strategy: 'whole containers', products }));
		expect(loads.map((load) => [load.areaHa, load.measuredPours, load.containersToHandle])).toEqual([
			[20, 0, 4],
			[26, 2, 6],
		]);
	});

	test('two products whose cans run out within a measuring step of each other', () => {
		// 1.25 L/ha × 24 ha = 30 L, but 0.834 L/ha × 24 ha = 20.016 L: at 23.992 ha both are within 0.01 L
		const products = [product(), product({ name: 'B', dosePerHa: 0.834, packSizes: [20] })];
		const { loads } = planOf(job({ strategy: 'whole containers', products }));
		expect(loads[0]?.products.map((line) => [line.amount, line.measured])).toEqual([
			[30, 0],
			[20, 0],
		]);
	});

	test('of equal ways the most even: the largest load is the smallest possible', () => {
		// a can runs out every 8 ha; 8 and 24 ha, 16 and 32 ha or 16 and 24 ha all save both pours
		const products = [product({ dosePerHa: 0.625 })];
		const { loads } = planOf(job({ areaHa: 47, sprayVolumeLPerHa: 180, strategy: 'whole containers', products }));
		expect(loads.map((load) => load.areaHa)).toEqual([16, 16, expect.closeTo(15, 9)]);
	});

	test('without pack sizes there is nothing to break at: equal loads', () => {
		const { loads } = planOf(job({ strategy: 'whole containers', products: [product({ packSizes: [] })] }));
		expect(loads.map((load) => load.totalL)).toEqual([3547.5, 3547.5]);
	});

	test('mix left in the tank is sprayed alone where that saves a fill', () => {
		const tank = { capacityL: 3000, minimumL: 0, leftInTankL: 1100 };
		const products = [product({ packSizes: [] })];
		const request = job({ areaHa: 16, sprayVolumeLPerHa: 200, strategy: 'whole containers', products, tank });
		expect(planOf(request).loads.map((load) => [load.newMixL, load.totalL, load.measuredPours])).toEqual([
			[0, 1100, 0],
			[2100, 2100, 1],
		]);
	});

	test('at the label maximum a can is emptied after its boundary, never before', () => {
		const atMaximum = product({ dosePerHa: 1.25, maxDosePerHa: 1.25 });
		const { loads } = planOf(job({ strategy: 'whole containers', products: [atMaximum] }));
		expect(loads.map((load) => (load.products[0]?.amount ?? 0) <= (1.25 * load.newMixL) / 150 + 1e-9)).toEqual([
			true,
			true,
		]);
		expect(loads.map((load) => load.measuredPours)).toEqual([0, 1]);
	});
});

/** Containers touched in the busiest load, by the definition alone. */
function busiestLoad({ products, extraHa, step }: PlainJob, sprayedHa: readonly number[]): number {
	const drawn = sprayedHa.map((sprayed) =>
		products.map(({ dose, ends }) => {
			const due = dose * (sprayed + extraHa);
			const near = ends.filter((end) => Math.abs(end - due) <= step + 1e-8);
			return near.toSorted((a, b) => Math.abs(a - due) - Math.abs(b - due))[0] ?? due;
		}),
	);
	const touched = drawn.map((amounts, load) =>
		products.map(({ ends }, index) => {
			const from = drawn[load - 1]?.[index] ?? 0;
			const to = amounts[index] ?? 0;
			return ends.filter((end, k) => end > from + 1e-9 && (ends[k - 1] ?? 0) < to - 1e-9).length;
		}),
	);
	return Math.max(...touched.map((counts) => counts.reduce((total, count) => total + count, 0)));
}

/** Fewest pours, then fewest containers in the busiest load, of every split of two or three loads at a set of places. */
function bestByTrying(job: PlainJob): [number, number] {
	const edges = job.products.flatMap(({ dose, ends }) =>
		ends.flatMap((end) => [-job.step, 0, job.step].map((off) => (end + off) / dose - job.extraHa)),
	);
	const shifts = [0, job.leastHa, -job.leastHa, job.mostHa, -job.mostHa];
	const steps = job.loads === 2 ? 1000 : 60;
	const grid = Array.from({ length: steps + 1 }, (_, index) => (job.areaHa * index) / steps);
	const places = [...edges, 0, job.firstLeastHa, job.areaHa].flatMap((edge) => shifts.map((shift) => edge + shift));
	const tried = [...new Set([...places, ...grid])].filter((place) => place >= 0 && place <= job.areaHa);
	const fits = (from: number, to: number, least = job.leastHa): boolean =>
		to - from >= least - 1e-9 && to - from <= job.mostHa + 1e-9;
	const firsts = tried.filter((place) => fits(0, place, job.firstLeastHa));
	const splits =
		job.loads === 1
			? [[job.areaHa]]
			: job.loads === 2
				? firsts.map((first) => [first, job.areaHa])
				: firsts.flatMap((first) =>
						tried.filter((second) => fits(first, second)).map((second) => [first, second, job.areaHa]),
					);
	let best: [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
	for (const split of splits) {
		if (!fits(split.at(-2) ?? 0, job.areaHa, job.loads === 1 ? job.firstLeastHa : job.leastHa)) continue;
		const pours = measuredPoursAt(job, split);
		if (pours > best[0]) continue;
		const busiest = busiestLoad(job, split);
		if (pours < best[0] || busiest < best[1]) best = [pours, busiest];
	}
	return best;
}

/** Jobs in which each load needs more than two measuring steps of each product: coarser ones round to whole cans anyhow. */
function sensible(request: LoadsRequest): boolean {
	const doses = request.products.map((line) => line.dosePerHa ?? 0);
	return planOf(request).loads.every(
		({ newMixL }) =>
			newMixL < 1e-6 || Math.min(...doses) * (newMixL / request.sprayVolumeLPerHa) > 2 * request.measureStep,
	);
}

function jobs(seed: number, count: number, mostLoads: number, mostProducts: number): LoadsRequest[] {
	const random = seededRandom(seed);
	const made: LoadsRequest[] = [];
	while (made.length < count) {
		const request = randomJob(random, mostLoads, mostProducts);
		if (planOf(request).loads.length > 0 && sensible(request)) made.push(request);
	}
	return made;
}

/** What the plan says, and what its loads come to by the definition. */
function planned(request: LoadsRequest) {
	const { loads, totals } = planOf(request);
	let sprayed = 0;
	const sprayedHa = loads.map((load) => {
		sprayed += load.areaHa;
		return sprayed;
	});
	return {
		loads: loads.length,
		pours: totals.measuredPours,
		poursByDefinition: measuredPoursAt(plainJob(request), sprayedHa),
		busiest: Math.max(...loads.map((load) => load.containersToHandle)),
	};
}

describe('against trying every split', () => {
	test.each([1, 2, 3])(
		'150 jobs of up to three loads, seed %i',
		(seed) => {
			const requests = jobs(seed, 150, 3, 3);
			const expected = requests.map((request) => {
				const [pours, busiest] = bestByTrying(plainJob(request));
				return { loads: plainJob(request).loads, pours, poursByDefinition: pours, busiest };
			});
			expect(requests.map(planned)).toEqual(expected);
		},
		120_000,
	);
});

describe('against a mixed-integer solver (HiGHS)', () => {
	let solver: Highs;
	beforeAll(async () => {
		solver = await loadSolver();
	});

	test.each([11, 12, 13, 14, 15])(
		'100 jobs of up to six loads and four products, seed %i',
		(seed) => {
			const requests = jobs(seed, 100, 6, 4);
			const fewest = requests.map((request) => fewestPoursBySolver(solver, plainJob(request)));
			expect(requests.map((request) => planned(request).pours)).toEqual(fewest);
			expect(requests.map((request) => planned(request).poursByDefinition)).toEqual(fewest);
		},
		120_000,
	);
});
