import { expect, test } from 'vitest';
import { refusal, testBooks } from './test-books.ts';

test('the demonstration farm looks like a real season', async () => {
	const { api } = testBooks({ demo: true });
	await api.upkeep.buildDemo({});
	const fields = await api.fields.list({});
	const jobs = await api.jobs.list({});
	const stock = await api.store.onHand({});
	const differing = (await api.store.counts({})).filter(({ difference }) => difference !== 0);
	expect(fields.length).toBeGreaterThanOrEqual(25);
	expect(stock.length).toBe(18);
	const kinds = Map.groupBy(jobs, ({ kind }) => kind);
	expect([...kinds.keys()].sort()).toEqual([
		'closed space',
		'granules',
		'seed treatment',
		'spray in liquid fertiliser',
		'spray in water',
	]);
	expect(new Set(stock.map(({ formulation }) => formulation)).size).toBeGreaterThanOrEqual(9);
	expect(jobs.some(({ state }) => state === 'planned')).toBe(true);
	expect(jobs.filter(({ state }) => state === 'closed').length).toBeGreaterThan(10);
	expect(differing.length).toBeGreaterThanOrEqual(5);
	expect((await api.settings.get({})).farmName).toBe('Thornmere Farm');
	expect((await api.records.verify({})).ok).toBe(true);
	expect(stock.flatMap(({ opened }) => opened).filter(({ left, size }) => left <= 0 || left >= size)).toEqual([]);
	expect(stock.filter(({ amount }) => amount <= 0)).toEqual([]);
	// Nobody keeps a can for the last centilitre.
	expect(stock.flatMap(({ opened }) => opened).filter(({ left }) => left < 0.05)).toEqual([]);
	expect((await api.store.watch({})).stores.map(({ bund }) => bund.holds)).toEqual([true]);

	// A barn sprayed by hand out of a small tank, and seed that was dressed and sown.
	const byKind = (kind: string) => api.jobs.get({ id: kinds.get(kind as never)?.[0]?.id ?? '' });
	expect((await byKind('closed space')).plan.loads[0]?.fills?.map(({ count, mixL }) => [count, mixL])).toEqual([
		[4, 15],
		[1, 10],
	]);
	expect((await byKind('seed treatment')).sowings).toHaveLength(2);

	// One season's empties were collected, product by product; how the newest load's were rinsed is still to be noted.
	const { sizes, collections, loads } = await api.waste.empties({});
	expect(collections.map(({ lines }) => lines.filter(({ product }) => product !== null).length > 5)).toEqual([true]);
	expect(sizes.flatMap(({ notTold }) => Object.values(notTold)).every((pieces) => pieces === 0)).toBe(true);
	expect(sizes.some(({ waiting, collected }) => waiting > 0 && collected > 0)).toBe(true);
	expect(loads.filter(({ rinsed }) => rinsed === null).length).toBeLessThan(loads.length / 4);

	// Passes read field by field, from which the register proposes.
	const [read] = fields.filter(({ name }) => name === 'Rookery');
	const learnt = (await api.fields.get({ id: read?.id ?? '' })).sprayed;
	expect([learnt?.verdict, (learnt?.passes ?? 0) >= 3]).toEqual(['propose', true]);

	// What was done in the yard: fills that teach, incidents, cleaning, an adviser's sheet.
	const sprayerId = (await api.sprayers.list({})).find(({ name }) => name.startsWith('Trailed'))?.id ?? '';
	const learned = await api.fills.learned({ sprayerId });
	expect(learned.fills).toBeGreaterThanOrEqual(learned.usedFrom);
	expect(learned.secondsPerContainer).toMatchObject({ n: expect.any(Number) });
	expect(learned.inflowLPerMin.estimate).toBeLessThan(learned.settings.inflowLPerMin);
	const incidents = await api.fills.incidents({});
	expect(incidents.some(({ product, told }) => product !== null && told !== null)).toBe(true);
	expect(incidents.some(({ told }) => told === null)).toBe(true);
	const cleanings = await api.fills.cleanings({ sprayerId });
	expect(new Set(cleanings.map(({ kind }) => kind)).size).toBe(2);
	expect(cleanings.every(({ before }) => before !== null)).toBe(true);
	const washed = (await api.records.list({})).filter(({ washings }) => washings !== null);
	expect(washed.length).toBeGreaterThanOrEqual(2);
	expect(washed.flatMap(({ findings }) => findings)).toEqual([]);
	const recommendations = await api.recommendations.list({});
	expect(recommendations.some(({ state }) => state === 'holds')).toBe(true);
	const followed = jobs.filter(({ name }) => name === 'Wheat, T2');
	expect((await api.recommendations.ofJob({ jobId: followed[0]?.id ?? '' }))?.deviations.length).toBe(1);
});

test('the demonstration farm never goes into the farm’s own records', async () => {
	const { api } = testBooks();
	expect((await refusal(api.upkeep.buildDemo({}))).code).toBe('demo.ownRecords');
});
