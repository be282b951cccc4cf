import { type Api, smallFarm } from './test-books.ts';

const FREE = [{ kind: 'singleDose' as const, max: 7 }];

/** The small farm with a machine and a product for each way of bringing something out. */
export async function wholeFarm(api: Api) {
	const farm = await smallFarm(api);
	const { id: applicatorId } = await api.sprayers.add({ name: 'Applicator', kind: 'granule applicator', hopperKg: 70 });
	const { id: treaterId } = await api.sprayers.add({ name: 'Treater', kind: 'seed treater', hopperKg: 1500 });
	const add = api.products.add;
	const { id: pelletsId } = await add({
		name: 'Pellets',
		formulation: 'RB',
		unit: 'kg',
		packSizes: [20],
		limits: FREE,
	});
	const { id: nitrogenId } = await add({
		name: 'Nitrogen 28',
		formulation: 'SL',
		unit: 'L',
		packSizes: [1000],
		kind: 'liquid fertiliser',
		relativeDensity: 1.28,
	});
	const { id: dressingId } = await add({
		name: 'Dressing',
		formulation: 'FS',
		unit: 'L',
		packSizes: [10],
		actives: [{ substance: 'fludioxonil', content: 25, contentUnit: 'g/L' }],
		limits: [
			{ kind: 'singleDose', max: 0.2 },
			{ kind: 'crop', crops: ['TRZAW'] },
			{ kind: 'activeSubstance', substance: 'fludioxonil', max: 12, per: 'season' },
			{ kind: 'sprayVolume', min: 100 },
		],
	});
	const received = (productId: string, packSize: number, packs: number) =>
		api.store.receive({ key: `in-${productId}`, productId, packSize, packs, date: '2026-03-01' });
	await received(pelletsId, 20, 12);
	await received(nitrogenId, 1000, 10);
	await received(dressingId, 10, 3);
	return { ...farm, applicatorId, treaterId, pelletsId, nitrogenId, dressingId };
}

export const onHand = async (api: Api, id: string) =>
	(await api.store.onHand({})).find(({ productId }) => productId === id)?.amount ?? 0;
