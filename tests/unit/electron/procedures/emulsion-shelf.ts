import { type Api, smallFarm } from './test-books.ts';

type Lot = {
	readonly packSize: number;
	readonly packs: number;
	readonly batch: string;
	readonly expires: string;
};

/**
 * A farm with one product on its shelf: an opened 3.5 L and two packs of 5 L of batch S1, which expires first, and four of
 * 10 L of L9; and a job of 24 L of it in two loads.
 */
export async function emulsionShelf(api: Api) {
	const farm = await smallFarm(api);
	const { id: productId } = await api.products.add({
		name: 'Emulsion',
		formulation: 'EC',
		unit: 'L',
		packSizes: [5, 10],
	});
	const receive = (key: string, lot: Lot) => api.store.receive({ key, productId, date: '2026-03-01', ...lot });
	await receive('late', { packSize: 10, packs: 4, batch: 'L9', expires: '2028-03-01' });
	await receive('soon', { packSize: 5, packs: 3, batch: 'S1', expires: '2026-12-01' });
	const spill = { productId, kind: 'spill' as const, by: 'J. Wren', why: 'knocked over' };
	await api.store.post({ key: 'opened', ...spill, amount: 1.5, date: '2026-03-02' });
	const job = {
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: farm.fieldId }],
		products: [{ productId, dosePerHa: 0.6 }],
		strategy: 'full' as const,
		date: '2026-04-15',
	};
	return { farm, productId, receive, spill, job };
}
