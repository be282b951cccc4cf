import { expect, test } from 'vitest';
import { refusal, smallFarm, testBooks } from './test-books.ts';

const DATE = '2026-04-15';

/** A job over three fields: oats, oats and peas, none with its EPPO code. */
async function uncoded() {
	const { api } = testBooks();
	const { sprayerId, suspensionId } = await smallFarm(api);
	const ids: string[] = [];
	for (const [name, crop] of [
		['Oat Piece', 'Vårhavre'],
		['Oat Close', 'Vårhavre'],
		['Pea Field', 'Ærter'],
	] as const) {
		const { id } = await api.fields.add({ name, mappedHa: 3, measuredHa: 3 });
		await api.fields.setCrop({ key: name, id, season: 2026, crop, variety: `of ${name}` });
		ids.push(id);
	}
	const job = {
		sprayerId,
		sprayVolumeLPerHa: 150,
		fields: ids.map((fieldId) => ({ fieldId })),
		products: [{ productId: suspensionId, dosePerHa: 1 }],
		date: DATE,
	};
	return { api, job, ids };
}

test('records of several crops are completed with the code of each, and never with one for all', async () => {
	const { api, job } = await uncoded();
	const { id: jobId } = await api.jobs.add({ key: 'job', ...job });
	const times = { startedAt: `${DATE}T07:00`, finishedAt: `${DATE}T08:00`, operator: 'A. Marsh' };
	await api.jobs.logLoad({ key: 'log', jobId, load: 1, ...times });
	const complete = { jobId, by: 'J. Wren' };
	expect(await refusal(api.records.complete({ key: 'one', ...complete, eppoCode: 'AVESA' }))).toMatchObject({
		code: 'input.invalid',
		details: { path: 'eppoCode', why: expect.stringContaining('Vårhavre, Ærter') },
	});
	const eppoCodes = [
		{ crop: 'Vårhavre', eppoCode: 'AVESA' },
		{ crop: 'Ærter', eppoCode: 'PIBSX' },
	];
	await api.records.complete({ key: 'each', ...complete, eppoCodes });
	const lines = await api.records.list({ jobId });
	expect(lines.map(({ field, eppoCode, version }) => [field, eppoCode, version]).sort()).toEqual([
		['Oat Close', 'AVESA', 2],
		['Oat Piece', 'AVESA', 2],
		['Pea Field', 'PIBSX', 2],
	]);
});

test('the code of a crop is entered once for all its fields of the season, and overwrites none', async () => {
	const { api, ids } = await uncoded();
	const [first = '', second = '', peas = ''] = ids;
	const { id: other } = await api.fields.add({ name: 'Far Oats', mappedHa: 2, measuredHa: 2 });
	await api.fields.setCrop({ key: 'far', id: other, season: 2026, crop: 'Vårhavre', eppoCode: 'AVESP' });
	await api.fields.setCrop({ key: 'last', id: second, season: 2025, crop: 'Vårhavre' });
	const oats = { id: first, season: 2026, crop: 'Vårhavre', eppoCode: 'AVESA' };
	await api.fields.setCrop({ key: 'code', ...oats, codeForAlike: true });
	const codeOf = async (id: string, season = 2026) =>
		(await api.fields.get({ id })).crops.find((each) => each.season === season);
	expect(await codeOf(first)).toMatchObject({ eppoCode: 'AVESA' });
	expect(await codeOf(second)).toMatchObject({ eppoCode: 'AVESA', variety: 'of Oat Close' });
	expect(await codeOf(second, 2025)).toMatchObject({ eppoCode: null });
	expect(await codeOf(peas)).toMatchObject({ eppoCode: null });
	expect(await codeOf(other)).toMatchObject({ eppoCode: 'AVESP' });
});
