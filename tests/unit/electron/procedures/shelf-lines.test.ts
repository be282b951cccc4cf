import { expect, test } from 'vitest';
import { emulsionShelf } from './emulsion-shelf.ts';
import { smallFarm, testBooks } from './test-books.ts';

test('the plan says from which shelf line each container is taken: opened first, then what expires first', async () => {
	const { api } = testBooks();
	const { job } = await emulsionShelf(api);
	const plan = await api.jobs.preview(job);
	// 24 L: the opened 3.5 L and two packs of the batch that expires first, then 10.5 L of the later one; 16 L in load 1.
	const takes = plan.loads.map(({ products }) =>
		products[0]?.takes?.map(({ what, count, size, amount, batch }) => [what, count, size, amount, batch]),
	);
	expect(takes).toEqual([
		[
			['opened', 1, 3.5, 3.5, 'S1'],
			['full', 2, 5, 10, 'S1'],
			['measured', 1, 10, 2.5, 'L9'],
		],
		[
			['opened', 1, 7.5, 7.5, 'L9'],
			['measured', 1, 10, 0.5, 'L9'],
		],
	]);
	const [first, second] = plan.loads.map(({ products }) => products[0]);
	expect([first?.fromOpened, first?.fullPacks, first?.measured]).toEqual([3.5, [{ size: 5, count: 2 }], 2.5]);
	expect([second?.fromOpened, second?.fullPacks, second?.measured]).toEqual([7.5, [], 0.5]);
});

test('what the store does not hold is said while planning', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const plan = await api.jobs.preview({
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId: farm.suspensionId, dosePerHa: 2 }],
		date: '2026-04-15',
	});
	expect(plan.totals.products[0]).toMatchObject({ amount: 80, inStore: 60, short: 20 });
	expect(plan.loads[0]?.products[0]?.takes?.map(({ what, count, amount }) => [what, count, amount])).toEqual([
		['full', 12, 60],
		['not in the store', 1, 20],
	]);
});
