import { expect, test } from 'vitest';
import { smallFarm, testBooks } from './test-books.ts';

test('what was poured to the measuring step counts as the dose that was planned', async () => {
	const { api } = testBooks();
	const { suspensionId, sprayerId } = await smallFarm(api);
	// 0.333 L/ha on 30.36 ha are 10.10988 L; measured out they are 10.11.
	const { id: fieldId } = await api.fields.add({ name: 'Odd', measuredHa: 30.36 });
	const wanted = (date: string) => ({
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 0.333 }],
		date,
	});
	const limits = [{ kind: 'totalDose' as const, max: 0.666, per: 'season' as const }];
	await api.products.update({ key: 'l', id: suspensionId, version: 1, limits });
	const { id } = await api.jobs.add({ key: 'first', ...wanted('2026-04-15') });
	const times = { startedAt: '2026-04-15T07:00:00Z', finishedAt: '2026-04-15T08:00:00Z' };
	await api.jobs.logLoad({ key: 'log', jobId: id, load: 1, operator: 'A. Marsh', ...times });
	const [record] = await api.records.list({});
	expect(record?.amount).toBeGreaterThan(0.333 * 30.36);
	const total = async (dosePerHa: number) =>
		(
			await api.limits.check({
				...{ date: '2026-05-10', fields: [{ fieldId }], products: [{ productId: suspensionId, dosePerHa }] },
			})
		).find(({ kind }) => kind === 'totalDose');
	expect(await total(0.333)).toMatchObject({ verdict: 'ok', value: 0.666 });
	expect(await total(0.3331)).toMatchObject({ verdict: 'block' });
	await api.jobs.add({ key: 'second', ...wanted('2026-05-10') });
});
