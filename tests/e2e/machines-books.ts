import type { App } from './app.ts';

/** A farm with a field of 31 ha, a machine for each way, pellets, a weedkiller and liquid nitrogen in the store. */
export async function layBooks(app: App): Promise<void> {
	if (((await app.call('sprayers.list')) as unknown[]).length > 0) return;
	await app.call('settings.save', { key: 'farm', farmName: 'Owl Farm', zone: 'Europe/Berlin', operator: 'A. Marsh' });
	await app.call('fields.add', { name: 'Long Piece', measuredHa: 31, mappedHa: 31 });
	await app.call('sprayers.add', { name: 'Trailed', capacityL: 4000, minimumL: 300 });
	await app.call('sprayers.add', { name: 'Spreader', kind: 'granule applicator', hopperKg: 70 });
	await app.call('sprayers.add', { name: 'Treater', kind: 'seed treater' });
	const add = async (product: object, packs: number, packSize: number) => {
		const { id } = (await app.call('products.add', { packSizes: [packSize], ...product })) as { id: string };
		await app.call('store.receive', { key: `in ${id}`, productId: id, packSize, packs });
	};
	await add({ name: 'Millrind pellets', formulation: 'RB', unit: 'kg' }, 12, 20);
	await add({ name: 'Tarnbeck 500', formulation: 'SC', unit: 'L' }, 20, 5);
	await add(
		{ name: 'Fenlow N 28', formulation: 'SL', unit: 'L', kind: 'liquid fertiliser', relativeDensity: 1.28 },
		10,
		1000,
	);
	const limits = [{ kind: 'treatments', max: 1, per: 'season' }];
	await add({ name: 'Hollin FS', formulation: 'FS', unit: 'L', limits }, 3, 10);
}

export const idOf = async (app: App, list: string, name: string) =>
	((await app.call(list)) as { id: string; name: string }[]).find((row) => row.name === name)?.id ?? '';

/** Five tonnes of wheat to treat, in one batch; its job. */
export async function planSeed(app: App): Promise<string> {
	const { id } = (await app.call('jobs.add', {
		key: 'seed',
		kind: 'seed treatment',
		sprayerId: await idOf(app, 'sprayers.list', 'Treater'),
		seed: { amount: 5000, unit: 'kg', crop: 'Winter wheat', lot: '26-4' },
		fields: [],
		products: [{ productId: await idOf(app, 'products.list', 'Hollin FS'), dosePer100Kg: 0.2 }],
		date: '2026-09-20',
	})) as { id: string };
	return id;
}
