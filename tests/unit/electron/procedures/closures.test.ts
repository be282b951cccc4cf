import { expect, test } from 'vitest';
import { refusal, smallFarm, testBooks } from './test-books.ts';

/** One load of eight cans of 5 L and its card. */
async function cardWith(product: object) {
	const { api } = testBooks();
	const { fieldId, suspensionId, sprayerId } = await smallFarm(api);
	await api.products.update({ key: 'u', id: suspensionId, version: 1, ...product });
	const { id: jobId } = await api.jobs.add({
		...{ key: 'job', sprayerId, sprayVolumeLPerHa: 100 },
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	});
	return api.jobs.card({ jobId, load: 1 });
}

const handledS = ({ fill }: Awaited<ReturnType<typeof cardWith>>) => {
	const times = (fill?.events ?? []).filter(({ product }) => product !== undefined).map(({ atS }) => atS);
	return Math.max(...times) - Math.min(...times);
};

test('closed transfer replaces pouring and rinsing, and the card says that the cap is rinsed last', async () => {
	const poured = await cardWith({});
	const closed = await cardWith({ closedTransfer: true });
	const noFit = await cardWith({ closedTransfer: true, closures: [{ size: 5, foil: true, closedTransfer: false }] });
	expect(poured.rinseRule).not.toContain('cap');
	expect(closed.rinseRule).toContain('rinse its cap last');
	expect(noFit.rinseRule).toBe(poured.rinseRule);
	expect([handledS(noFit) === handledS(poured), handledS(closed) === handledS(poured)]).toEqual([true, false]);
});

test('closures speak of pack sizes that are sold, each once; a size that goes takes its closure along', async () => {
	const { api } = testBooks();
	const { suspensionId: id } = await smallFarm(api);
	const update = (key: string, version: number, changes: object) =>
		api.products.update({ key, id, version, ...changes });
	expect((await refusal(update('a', 1, { closures: [{ size: 7 }] }))).code).toBe('product.packUnknown');
	expect((await refusal(update('b', 1, { closures: [{ size: 5 }, { size: 5, foil: true }] }))).code).toBe(
		'input.invalid',
	);
	const { closures } = await update('c', 1, { closures: [{ size: 5, foil: true, capMm: 63 }] });
	expect(closures).toEqual([{ size: 5, foil: true, capMm: 63, closedTransfer: false }]);
	expect((await update('d', 2, { packSizes: [10] })).closures).toEqual([]);
});
