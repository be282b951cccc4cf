import { expect, test } from 'vitest';
import { type Api, smallFarm, testBooks } from './test-books.ts';

/** One job of one load on one field, logged with the wind alone: two records. */
async function loggedJob(api: Api): Promise<{ jobId: string }> {
	const farm = await smallFarm(api);
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 20 }],
		products: [
			{ productId: farm.suspensionId, dosePerHa: 1 },
			{ productId: farm.granuleId, dosePerHa: 0.4 },
		],
		date: '2026-04-15',
	});
	await api.jobs.logLoad({
		key: 'log',
		jobId,
		load: 1,
		startedAt: '2026-04-15T07:00',
		finishedAt: '2026-04-15T08:00',
		operator: 'A. Marsh',
		weather: { windSpeedKmh: 9, windHeightM: 2 },
	});
	return { jobId };
}

test('completing a job fills what is open, of the weather too, and leaves what stands', async () => {
	const { api } = testBooks();
	const { jobId } = await loggedJob(api);
	await api.records.complete({
		key: 'complete',
		jobId,
		by: 'J. Wren',
		crop: 'Winter wheat',
		operator: 'somebody else',
		weather: { windSpeedKmh: 14, temperatureC: 12, humidityPercent: 70 },
	});
	const records = await api.records.list({});
	expect(
		records.map(({ version, crop, operator, weather, why, by }) => [version, crop, operator, weather, why, by]),
	).toEqual(
		Array.from({ length: 2 }, () => [
			2,
			'Winter wheat',
			'A. Marsh',
			{ windSpeedKmh: 9, windHeightM: 2, temperatureC: 12, humidityPercent: 70 },
			'completed',
			'J. Wren',
		]),
	);
});

test('an authorisation number entered late reaches the records through the product, or one record by correction', async () => {
	const { api } = testBooks();
	const { jobId } = await loggedJob(api);
	const suspension = (await api.products.list({})).find(({ name }) => name === 'Suspension');
	const { id = '', version = 0 } = suspension ?? {};
	await api.products.update({ key: 'number', id, version, authorisationNo: 'A-1' });
	await api.records.complete({ key: 'complete', jobId, by: 'J. Wren' });
	const granule = (await api.records.list({})).find(({ product }) => product === 'Granule');
	await api.records.correct({
		key: 'correct',
		id: granule?.id ?? '',
		version: granule?.version ?? 0,
		authorisationNo: 'A-2',
		why: 'read from the label',
		by: 'J. Wren',
	});
	const records = await api.records.list({});
	expect(new Map(records.map(({ product, authorisationNo }) => [product, authorisationNo]))).toEqual(
		new Map([
			['Suspension', 'A-1'],
			['Granule', 'A-2'],
		]),
	);
});

test('a version says when it was written', async () => {
	const { api } = testBooks();
	await loggedJob(api);
	const [record] = await api.records.list({});
	const corrected = await api.records.correct({
		key: 'correct',
		id: record?.id ?? '',
		version: 1,
		reason: 'septoria',
		why: 'read from the walk',
		by: 'J. Wren',
	});
	const versions = await api.records.versions({ id: corrected.id });
	expect(versions.map(({ version }) => version)).toEqual([1, 2]);
	for (const { writtenAt } of versions) expect(Math.abs(Date.now() - Date.parse(writtenAt))).toBeLessThan(60_000);
});

test('a head as it is printed is found in the chain it came from, a foreign one in none', async () => {
	const { api } = testBooks();
	await loggedJob(api);
	const before = await api.records.verify({});
	const [records, ledger] = before.chains;
	const printed = (head: string | undefined) => ` ${(head ?? '').slice(0, 16).toUpperCase()} `;
	await api.records.complete({
		key: 'complete',
		jobId: (await api.records.list({}))[0]?.jobId ?? '',
		by: 'J. Wren',
		reason: 'septoria',
	});
	expect(await api.records.verify({ head: printed(records?.head) })).toMatchObject({
		ok: true,
		entries: 4,
		found: { chain: 'records', seq: 2 },
	});
	expect(await api.records.verify({ head: printed(ledger?.head) })).toMatchObject({
		ok: true,
		found: { chain: 'ledger', seq: ledger?.entries },
	});
	for (const head of ['0123456789abcdef', before.head.slice(0, 15)]) {
		const held = await api.records.verify({ head });
		expect([held.ok, held.found, held.firstBad?.chain]).toEqual([false, undefined, 'records']);
	}
});

test('by the EU rules a stage is asked for once the product’s limits confine it; retention and time to write stand on the record', async () => {
	const { api } = testBooks();
	await api.settings.save({ key: 'rules', ruleSet: 'eu-2023-564' });
	const { jobId } = await loggedJob(api);
	const asked = async () => {
		const records = await api.records.list({});
		return records.find(({ product }) => product === 'Suspension');
	};
	expect(await asked()).toMatchObject({
		useType: 'treatment of surfaces',
		missing: ['authorisation number', 'crop', 'EPPO code'],
		writeBy: '2026-05-15',
		keepUntil: '2029-12-31',
	});
	const suspension = (await api.products.list({})).find(({ name }) => name === 'Suspension');
	const { id = '', version = 0 } = suspension ?? {};
	await api.products.update({
		key: 'limit',
		id,
		version,
		authorisationNo: 'A-1',
		limits: [{ kind: 'stage', max: 39 }],
	});
	await api.records.complete({ key: 'crop', jobId, by: 'J. Wren', crop: 'Winter wheat', eppoCode: 'TRZAW' });
	expect((await asked())?.missing).toEqual(['growth stage']);
	const first = (await api.records.versions({ id: (await asked())?.id ?? '' }))[0];
	expect((await asked())?.createdAt).toBe(first?.writtenAt);
	await api.records.complete({ key: 'stage', jobId, by: 'J. Wren', growthStage: '32' });
	expect((await asked())?.missing).toEqual([]);
});

/** Regulation (EC) No 1107/2009 authorises plant protection products; a water conditioner has no number to be asked for. */
test('an authorisation number is asked for of plant protection products alone', async () => {
	const { api } = testBooks();
	const { fieldId, suspensionId, sprayerId } = await smallFarm(api);
	const { id: conditionerId } = await api.products.add({
		name: 'Soft Water',
		formulation: 'SL',
		unit: 'L',
		packSizes: [10],
		kind: 'water conditioner',
	});
	await api.store.receive({ key: 'in', productId: conditionerId, packSize: 10, packs: 4, date: '2026-03-01' });
	const { id } = await api.jobs.add({
		key: 'job',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: [
			{ productId: conditionerId, dosePerHa: 0.5 },
			{ productId: suspensionId, dosePerHa: 1 },
		],
		date: '2026-04-15',
	});
	const times = { startedAt: '2026-04-15T07:00:00', finishedAt: '2026-04-15T08:00:00', operator: 'A. Marsh' };
	await api.jobs.logLoad({ key: 'log', jobId: id, load: 1, ...times });
	const lines = await api.records.list({ jobId: id });
	expect(lines.map(({ product, missing }) => [product, missing.includes('authorisation number')])).toEqual([
		['Soft Water', false],
		['Suspension', true],
	]);
});

test('a record keeps what was in flower, who was told, and what to wait for as the label stood when it was logged', async () => {
	const { api } = testBooks();
	const farm = await smallFarm(api);
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === farm.suspensionId) ?? {};
	const limits: { kind: 'reentry' | 'harvestInterval'; min: number }[] = [
		{ kind: 'reentry', min: 48 },
		{ kind: 'harvestInterval', min: 35 },
	];
	await api.products.update({ key: 'limits', id: farm.suspensionId, version, limits });
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId, areaHa: 20 }],
		products: [{ productId: farm.suspensionId, dosePerHa: 1 }],
		date: '2026-07-08',
		overrideWhy: 'tried on purpose',
	});
	const [startedAt, finishedAt] = ['2026-07-08T07:00', '2026-07-08T08:00'];
	const told = 'beekeeper at Mill, by phone';
	await api.jobs.logLoad({ key: 'log', jobId, load: 1, startedAt, finishedAt, operator: 'A. Marsh', told });
	const [logged] = await api.records.list({ jobId });
	expect([logged?.told, logged?.flowering]).toEqual([told, null]);
	await api.products.update({ key: 'later', id: farm.suspensionId, version: version + 1, limits: [] });
	await api.records.complete({
		key: 'c',
		jobId,
		by: 'J. Wren',
		flowering: 'weeds',
	});
	const [record] = await api.records.list({ jobId });
	// A page that was printed before names the first version: it leads to what stands now.
	const [first] = await api.records.versions({ id: record?.id ?? '' });
	expect(await api.records.list({ entry: first?.seq ?? 0 })).toEqual([record]);
	expect(record).toMatchObject({
		flowering: 'weeds',
		told,
		noEntryUntil: expect.stringContaining('2026-07-10T08:00'),
		// 35 days, the day of spraying is day 0: tests/reference holds the date arithmetic.
		harvestFrom: '2026-08-12',
	});
});
