import type { Api } from './test-books.ts';

export const DATE = '2026-04-15';
export const times = { startedAt: `${DATE}T11:00`, finishedAt: `${DATE}T11:20`, operator: 'A. Marsh' };
export const rinsed = { leftL: 20, residualL: 20, rinsesL: [100, 100, 100] };

/**
 * 10 ha of Long Piece and 5 ha of Rookery, 200 L/ha, 1 L/ha of a copper product that the label allows at 1.25, and 20 L
 * that stay in sump and lines: 3,020 L of mix with 15.1 L, in one load.
 */
export async function sprayed(api: Api, { limits = [] as object[], log = true } = {}) {
	const field = async (name: string, measuredHa: number) => {
		const { id } = await api.fields.add({ name, mappedHa: measuredHa, measuredHa });
		await api.fields.setCrop({ key: name, id, season: 2026, crop: 'Winter wheat', eppoCode: 'TRZAW' });
		return id;
	};
	const longId = await field('Long Piece', 10);
	const rookeryId = await field('Rookery', 5);
	const { id: productId } = await api.products.add({
		name: 'Copper',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		actives: [{ substance: 'copper', content: 400, contentUnit: 'g/L', modeOfAction: 'FRAC M01' }],
		limits: [
			{ kind: 'crop', crops: ['TRZAW'], source: 'label' },
			{ kind: 'singleDose', max: 1.25, source: 'label' },
			{ kind: 'treatments', max: 2, per: 'season', source: 'label' },
			...limits,
		] as never,
	});
	await api.store.receive({ key: 'in', productId, packSize: 5, packs: 8, date: '2026-03-01' });
	const { id: sprayerId } = await api.sprayers.add({
		name: 'Trailed',
		capacityL: 4000,
		minimumL: 200,
		unsprayableL: 20,
	});
	const plan = {
		sprayerId,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: longId }, { fieldId: rookeryId }],
		products: [{ productId, dosePerHa: 1 }],
		date: DATE,
	};
	const { id: jobId } = await api.jobs.add({ key: 'job', ...plan });
	if (log) {
		await logWhole(api, jobId);
	}
	return { longId, rookeryId, productId, sprayerId, jobId, plan };
}

export const morning = { load: 1, startedAt: `${DATE}T07:00`, operator: 'A. Marsh' };

export async function logWhole(api: Api, jobId: string, key = 'log'): Promise<void> {
	await api.jobs.logLoad({ key, jobId, ...morning, finishedAt: `${DATE}T09:00` });
}
