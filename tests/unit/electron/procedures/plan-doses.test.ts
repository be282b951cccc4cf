import { expect, test } from 'vitest';
import { refusal, smallFarm, testBooks } from './test-books.ts';

test('doses by the mix and by its share are planned, kept as said and stand on the card', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const wetter = await api.products.add({ name: 'Wetter', formulation: 'SL', unit: 'L', packSizes: [5] });
	const job = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: farm.fieldId }],
		products: [
			{ productId: farm.suspensionId, dosePerHa: 1.25, doseUnit: 'mL/ha' },
			{ productId: farm.granuleId, dosePer100L: 0.2, doseUnit: 'g/100 L' },
			{ productId: wetter.id, dosePercent: 0.1 },
		],
		strategy: 'full',
		date: '2026-04-15',
	});
	// 4,000 L: 4,000 × 0.2 ÷ 100 = 8 kg and 0.1 % of 4,000 L = 4 L; the second load holds 2,000 L.
	expect(job.loads.map(({ products }) => products.map(({ amount }) => amount))).toEqual([
		[33.33, 8, 4],
		[16.67, 4, 2],
	]);
	const { products } = await api.jobs.get({ id: job.id });
	expect(products.map(({ name, dosePerHa, dose }) => ({ name, dosePerHa, dose }))).toEqual([
		{ name: 'Suspension', dosePerHa: 1.25, dose: { value: 1250, unit: 'mL/ha' } },
		{ name: 'Granule', dosePerHa: 0.3, dose: { value: 200, unit: 'g/100 L' } },
		{ name: 'Wetter', dosePerHa: 0.15, dose: { value: 0.1, unit: '% v/v' } },
	]);
	const card = await api.jobs.card({ jobId: job.id, load: 2 });
	const onCard = new Map(card.order.map(({ name, amount, dose }) => [name, { amount, dose }]));
	expect(onCard.get('Wetter')).toEqual({ amount: 2, dose: { value: 0.1, unit: '% v/v' } });
	const mix = { name: 'With wetter', sprayVolumeLPerHa: 200 };
	await api.recipes.save({ key: 'r', ...mix, products: [{ productId: wetter.id, dosePercent: 0.1 }] });
	const { recipes, lastJobs } = await api.recipes.list({});
	expect(recipes[0]?.products[0]).toMatchObject({ dosePerHa: 0.2, dose: { value: 0.1, unit: '% v/v' } });
	expect(lastJobs[0]?.products.map(({ dose }) => dose.unit)).toEqual(['mL/ha', 'g/100 L', '% v/v']);
});

test('two doses, none, or a share of a product sold by mass are refused', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const preview = (product: object) =>
		api.jobs.preview({
			sprayerId: farm.sprayerId,
			sprayVolumeLPerHa: 150,
			fields: [{ fieldId: farm.fieldId }],
			products: [{ productId: farm.granuleId, ...product }],
		});
	const codes = [];
	for (const product of [{}, { dosePerHa: 1, dosePer100L: 1 }, { dosePercent: 0.1 }]) {
		codes.push((await refusal(preview(product))).code);
	}
	expect(codes).toEqual(['load.doseUnclear', 'load.doseUnclear', 'load.percentByMass']);
});

test('what a load needs out of a water-soluble bag is told while it is planned', async () => {
	const { api } = testBooks();
	const { fieldId, sprayerId } = await smallFarm(api);
	const { id: productId } = await api.products.add({
		name: 'Bagged',
		formulation: 'WP',
		unit: 'kg',
		packSizes: [0.5],
		waterSolubleBag: true,
	});
	const plan = async (areaHa: number) =>
		(
			await api.jobs.preview({
				sprayerId,
				sprayVolumeLPerHa: 100,
				fields: [{ fieldId, areaHa }],
				products: [{ productId, dosePerHa: 0.1 }],
				date: '2026-04-15',
			})
		).warnings.filter(({ code }) => code === 'product.openedBag');
	expect(await plan(10)).toEqual([]);
	expect((await plan(12)).map(({ message }) => message)).toEqual([
		'Bagged comes in water-soluble bags, which are not opened: 0.2 kg in load 1 could not be measured. Choose ground, dose or another way of splitting so that whole bags go in.',
	]);
});
