import { expect, test } from 'vitest';
import { SeasonReconciliation } from '../../../../../shared/contract/season-reconcile.ts';
import { reconcileSeason } from '../../../../../shared/core/reconcile/reconcile-season.ts';
import type { Finding } from '../../../../../shared/core/reconcile/reconciliation.ts';
import type { ProductCount, SeasonBooks } from '../../../../../shared/core/reconcile/season-books.ts';
import { smallFarm, withJobs, withProduct } from './small-farm.ts';

function reconciled(books: SeasonBooks): SeasonReconciliation {
	const result = reconcileSeason(books);
	if (!result.ok) throw new Error(result.problem.code);
	return SeasonReconciliation.parse(result.value);
}

function findingsOf(books: SeasonBooks): SeasonReconciliation['findings'] {
	return reconciled(books).findings;
}

function causesOf(finding: Pick<Finding, 'causes'> | undefined): string[] {
	return finding?.causes.map(({ cause }) => cause).sort() ?? [];
}

function closingMoved(by: number): (product: { counts: readonly ProductCount[] }) => { counts: ProductCount[] } {
	return ({ counts }) => ({
		counts: counts.map((count, index) => (index === 1 ? { ...count, amount: count.amount + by } : count)),
	});
}

test('without two counts only ground and tank are said to agree', () => {
	const { products, ...books } = smallFarm();
	const uncounted = products.map((product) => ({ ...product, counts: product.counts.slice(0, 1) }));
	expect(reconciled({ ...books, products: uncounted }).say).toBe(
		'Ground and tank agree within measuring. The store says nothing yet: no product was counted twice.',
	);
});

test('books that agree are said to agree, with every measure and its uncertainty', () => {
	const { say, farm, products, jobs, findings } = reconciled(smallFarm());
	expect({ say, findings, jobs: jobs.length, products: products.length }).toEqual({
		say: 'The books agree within measuring.',
		findings: [],
		jobs: 10,
		products: 4,
	});
	expect(farm).toEqual({
		storeToTank: expect.closeTo(1, 9),
		storeToTankSigma: expect.any(Number),
		tankToGround: expect.closeTo(1, 9),
		tankToGroundSigma: expect.any(Number),
		productsCounted: 4,
		confirmedLoads: 40,
		loads: 40,
	});
	expect(products[0]).toEqual({
		productId: 'A',
		name: 'Product A',
		unit: 'L',
		ground: expect.closeTo(195, 9),
		tank: expect.closeTo(195, 9),
		store: expect.closeTo(195, 9),
		tankBetweenCounts: expect.closeTo(195, 9),
		counted: true,
		groundSigma: expect.closeTo((195 * 0.005) / Math.sqrt(5), 9),
		tankSigma: expect.any(Number),
		storeSigma: 0.25,
		tankToGround: expect.closeTo(1, 9),
		storeToTank: expect.closeTo(1, 9),
		sigma: expect.any(Number),
		ownStoreToTank: expect.closeTo(1, 9),
		residual: expect.closeTo(0, 9),
		residualSigma: expect.any(Number),
		measuredPours: 10,
		confirmedLoads: 10,
		loads: 10,
		say: expect.stringMatching(/^Store and tank agree within measuring \(measuring alone: ± 0\.\d+ L\)\.$/),
	});
});

test('half a container too little at the end: what is seen, what it may be, what to check', () => {
	const [finding, ...more] = findingsOf(withProduct(smallFarm(), 'A', closingMoved(-2.5)));
	expect(more).toEqual([]);
	expect(finding?.evidence).toBe('2.5 L of Product A left the store and reached no tank: half a 5 L container.');
	expect(causesOf(finding)).toEqual(['loss not booked', 'measuring', 'wrong count']);
	expect(finding).toMatchObject({ productIds: ['A'], size: expect.closeTo(2.5, 6), unit: 'L', accuses: true });
	expect(finding?.causes.find(({ cause }) => cause === 'wrong count')?.evidence).toMatch(
		/^The count of Product A on 1 January 2027 would be 2\.\d+ L too high, or the one on 11 April 2027 as much too low\.$/,
	);
	expect(finding?.causes.every(({ checkNext }) => checkNext.length > 0)).toBe(true);
});

test('a book that began empty cannot have been counted too high at its beginning', () => {
	const books = withProduct(smallFarm(), 'A', ({ counts }) => ({
		counts: counts.map((count, index) => ({ ...count, amount: count.amount - 10 + (index === 1 ? 5 : 0) })),
		bookings: [{ at: 1, date: '2027-01-02', kind: 'delivery', amount: 205, packSize: 5, document: null }],
	}));
	// 205 L came, 195 L were poured, 5 L are counted.
	const count = findingsOf(books)[0]?.causes.find(({ cause }) => cause === 'wrong count');
	expect(count?.evidence).toBe('The count of Product A on 11 April 2027 would be one 5 L container too low.');
});

test('a delivery that was not booked looks like a wrong count of whole containers, and like nothing else', () => {
	const [finding] = findingsOf(withProduct(smallFarm(), 'B', () => ({ bookings: [] })));
	expect(causesOf(finding)).toEqual(['delivery not booked', 'wrong count']);
	const delivery = finding?.causes.find(({ cause }) => cause === 'delivery not booked');
	expect(delivery).toMatchObject({
		size: 35,
		unit: 'L',
		amounts: [{ productId: 'B', amount: -35, unit: 'L' }],
		evidence: '7 containers of 5 L of Product B would have come in without a booking (1 January 2027 – 11 April 2027).',
	});
	expect(finding?.evidence).toBe('35 L of Product B went into tanks and never left the store: 7 containers of 5 L.');
});

test('a third count shows which of the counts is wrong', () => {
	const books = withProduct(smallFarm(), 'A', ({ counts, bookings }) => {
		const [opening, closing] = counts;
		if (opening === undefined || closing === undefined) throw new Error('no counts');
		const delivered = bookings.reduce((sum, booking) => sum + booking.amount, 0);
		// By day 50 three jobs with A are done: 3 × 39 L.
		const middle = { at: 50, date: '2027-02-20', amount: 10 + delivered - 3 * 39 + 5, openedContainers: 0 };
		return { counts: [opening, middle, closing] };
	});
	const [finding, ...more] = findingsOf(books);
	expect([more, causesOf(finding)]).toEqual([[], ['wrong count']]);
	expect(finding?.causes[0]?.evidence).toBe(
		'The count of Product A on 20 February 2027 would be one 5 L container too high.',
	);
});

test('a load that was never logged is found by its recipe and by the litres of its job', () => {
	const farm = smallFarm();
	const missing = farm.loads.find((load) => load.loadId === 'job 4 load 2');
	const books = {
		...withJobs(farm, (job) => (job.jobId === 'job 4' ? { mixedL: 4000 } : {})),
		loads: farm.loads.filter((load) => load !== missing),
	};
	const [finding, ...more] = findingsOf(books);
	expect([more, causesOf(finding), finding?.causes[0]?.jobIds]).toEqual([[], ['load not logged'], ['job 4']]);
	expect(finding?.causes[0]?.evidence).toBe(
		'13 L of Product A and 2.3 L of Product B left the store in the proportions of a load of 2,000 L of Job 4.',
	);
	expect(finding).toMatchObject({ unit: 'L', accuses: true, productIds: ['A', 'B'] });
});

test('it is found as well where the area loaded for is that of the logged loads only', () => {
	const farm = smallFarm();
	const books = {
		...withJobs(farm, (job) => (job.jobId === 'job 4' ? { mixedL: 4000, areaLoadedForHa: 20 } : {})),
		loads: farm.loads.filter((load) => load.loadId !== 'job 4 load 2'),
	};
	const findings = findingsOf(books);
	expect(findings.map((finding) => [causesOf(finding), finding.causes[0]?.jobIds])).toEqual([
		[['load not logged'], ['job 4']],
	]);
});

test('a load that is in the log twice is found by what it holds', () => {
	const farm = smallFarm();
	const twice = farm.loads
		.filter((load) => load.loadId === 'job 4 load 2')
		.map((load) => ({ ...load, loadId: 'again' }));
	const books = {
		...withJobs(farm, (job) => (job.jobId === 'job 4' ? { mixedL: 8000 } : {})),
		loads: [...farm.loads, ...twice],
	};
	const findings = findingsOf(books);
	expect(findings.map(causesOf)).toEqual([['load logged, not sprayed']]);
	expect(findings[0]?.causes[0]?.evidence).toBe(
		'13 L of Product A and 2.3 L of Product B would be logged and still be in the store: just what load 2 of Job 4 (11 February 2027) holds.',
	);
});

test('without any count a missing load still shows in the litres of its job', () => {
	const farm = smallFarm();
	const uncounted = { ...farm, products: farm.products.map((product) => ({ ...product, counts: [] })) };
	const books = {
		...withJobs(uncounted, (job) => (job.jobId === 'job 4' ? { mixedL: 4000 } : {})),
		loads: farm.loads.filter((load) => load.loadId !== 'job 4 load 2'),
	};
	const { products, findings } = reconciled(books);
	expect(products.map(({ store, storeToTank, sigma }) => [store, storeToTank, sigma])).toEqual(
		Array(4).fill([null, null, null]),
	);
	expect(causesOf(findings[0])).toContain('load not logged');
	expect(products[0]?.say).toBe('Not counted twice, so the store says nothing yet.');
});

test('two products mixed up are opposite and equal', () => {
	const books = withProduct(withProduct(smallFarm(), 'A', closingMoved(8)), 'C', closingMoved(-8));
	const [finding, ...more] = findingsOf(books);
	expect([more, causesOf(finding)]).toEqual([[], ['products mixed up']]);
	expect(finding?.causes[0]?.evidence).toMatch(
		/^8 L more Product C left the store than was logged, and as much less Product A/,
	);
});

test('an area error that follows one field is that field’s, one that follows the sprayer is its counter’s or all fields’', () => {
	const shared = findingsOf(withJobs(smallFarm(), () => ({ counterHa: 30.9, controllerL: 6000 * 1.03, mixedL: 6180 })));
	const oneField = findingsOf(
		withJobs(smallFarm(), ({ fields }) => {
			const share = (fields.find((field) => field.fieldId === 'field 2')?.areaHa ?? 0) / 30;
			const more = 1 + 0.04 * share;
			return { counterHa: 30 * more, controllerL: 6000 * more, mixedL: 6000 * more };
		}),
	);
	expect([shared.map(causesOf), oneField.map(causesOf), oneField[0]?.causes[0]?.fieldIds]).toEqual([
		[['area counter', 'register area']],
		[['register area']],
		['field 2'],
	]);
	expect(oneField[0]).toMatchObject({ unit: 'L', accuses: true });
	expect(oneField[0]?.causes[0]?.percent).toBeCloseTo(4, 0);
});

test('a meter that reads high: the meter or the controller, in litres of the season', () => {
	const [finding, ...more] = findingsOf(
		withJobs(smallFarm(), () => ({ controllerL: 6000 / 1.04, counterHa: 30 / 1.04, ranOutHa: 30 - 30 / 1.04 })),
	);
	expect([more, causesOf(finding)]).toEqual([[], ['controller litres', 'inlet meter']]);
	expect(finding?.causes[0]?.percent).toBeCloseTo(4, 0);
	expect(finding?.size).toBeCloseTo(2400, -2.5);
});

test('what was not reported cannot be told apart, and nothing is accused', () => {
	const [finding] = findingsOf(withJobs(smallFarm(), () => ({ counterHa: null, controllerL: null, ranOutHa: 1.8 })));
	expect([finding?.accuses, causesOf(finding)]).toEqual([false, ['inlet meter', 'rate', 'register area']]);
	expect(finding?.evidence).toContain('Only the product of area, meter and rate is known, so none of them is accused.');
	expect(finding?.checkNext).toContain('Report sprayed area, controller litres and mix left');
});

test('two faults at once are two findings', () => {
	const books = withJobs(
		withProduct(smallFarm(), 'B', () => ({ bookings: [] })),
		() => ({
			controllerL: 6000 / 1.06,
			counterHa: 30 / 1.06,
			ranOutHa: 30 - 30 / 1.06,
		}),
	);
	const { say, findings } = reconciled(books);
	expect([say, findings.map(causesOf)]).toEqual([
		'2 differences are larger than measuring explains.',
		[
			['delivery not booked', 'wrong count'],
			['controller litres', 'inlet meter'],
		],
	]);
});

test('amounts taken over from the plan are marked: they prove nothing', () => {
	const farm = smallFarm();
	const loads = farm.loads.map((load) => ({
		...load,
		products: load.products.map((line) => ({ ...line, confirmed: false })),
	}));
	const { products, farm: whole, findings } = reconciled(withProduct({ ...farm, loads }, 'A', closingMoved(-2.5)));
	expect([products[0]?.confirmedLoads, whole.confirmedLoads, products[1]?.say]).toEqual([
		0,
		0,
		expect.stringContaining('All amounts were taken over from the plan: they prove nothing.'),
	]);
	expect(findings[0]?.evidence).toContain('All amounts were taken over from the plan');
});

test('empty books have nothing to compare, and a period must not end before it starts', () => {
	const empty = { from: '2027-01-01', to: '2027-12-31', products: [], loads: [], jobs: [] };
	expect(reconciled(empty)).toEqual({
		say: 'Nothing was counted twice and no job was reported back, so there is nothing to compare yet.',
		farm: {
			storeToTank: null,
			storeToTankSigma: null,
			tankToGround: null,
			tankToGroundSigma: null,
			productsCounted: 0,
			confirmedLoads: 0,
			loads: 0,
		},
		products: [],
		jobs: [],
		findings: [],
	});
	expect(reconcileSeason({ ...empty, from: '2028-01-01' })).toEqual({
		ok: false,
		problem: { code: 'period.reversed', details: { from: '2028-01-01', to: '2027-12-31' } },
	});
});

test('the same books give the same answer, whatever order they come in', () => {
	const farm = withProduct(smallFarm(), 'A', closingMoved(-2.5));
	const turned = { ...farm, loads: [...farm.loads].reverse(), jobs: [...farm.jobs].reverse() };
	const [one, other] = [findingsOf(farm)[0], findingsOf(turned)[0]];
	expect(causesOf(other)).toEqual(causesOf(one));
	expect(other?.size).toBeCloseTo(one?.size ?? Number.NaN, 9);
});
