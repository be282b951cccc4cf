import { expect, test } from 'vitest';
import { DATE, logWhole, morning, rinsed, sprayed, times } from './sprayed-job.ts';
import { refusal, testBooks } from './test-books.ts';

/** 20 L − 20 ÷ 216 L of mix of 15.1 L in 3,020 L: 0.005 L in each litre. */
const HELD = 0.005 * (20 - 20 / 216);

test('what the washings hold is told before, with the ground each field has room for', async () => {
	const { api } = testBooks();
	const { jobId, longId, rookeryId } = await sprayed(api);
	const ahead = await api.jobs.washingsAhead({
		jobId,
		...rinsed,
		date: DATE,
		fields: [{ fieldId: longId, areaHa: 0.3 }],
	});
	expect(ahead).toMatchObject({ load: 1, sprayedL: 300, rinsedAt: null });
	expect(ahead.factor).toBeCloseTo(216, 9);
	expect(ahead.products[0]?.amount).toBeCloseTo(HELD, 6);
	const [long, rookery] = ahead.fields;
	// 0.0995 L ÷ (1.25 − 1) L/ha = 0.398 ha: 0.3 ha are too little.
	expect(long?.leastHa).toBeCloseTo(HELD / 0.25, 5);
	expect(long).toMatchObject({
		fieldId: longId,
		sprayedHa: 10,
		areaHa: 0.3,
		enough: false,
		limitedBy: { product: 'Copper', kind: 'singleDose' },
		unknown: [],
		notForCrop: [],
	});
	expect(rookery).toMatchObject({ fieldId: rookeryId, sprayedHa: 5, areaHa: null, enough: null });
	expect(ahead.findings.map(({ kind, verdict }) => [kind, verdict])).toEqual([['singleDose', 'block']]);
	const wider = await api.jobs.washingsAhead({
		jobId,
		...rinsed,
		date: DATE,
		fields: [{ fieldId: longId, areaHa: 0.5 }],
	});
	expect([wider.fields[0]?.enough, wider.findings]).toEqual([true, []]);
});

test('without a word the books say what is left: the unsprayable, and the rinses noted after the job', async () => {
	const { api } = testBooks();
	const { jobId, sprayerId } = await sprayed(api);
	expect(await api.jobs.washingsAhead({ jobId, date: DATE })).toMatchObject({ leftL: 20, rinsesL: [], mixL: 0 });
	await api.fills.rinseOut({
		key: 'r',
		sprayerId,
		at: `${DATE}T10:00`,
		residualL: 20,
		rinsesL: [100, 100, 100],
		washings: 'Long Piece',
		operator: 'A. Marsh',
	});
	expect(await api.jobs.washingsAhead({ jobId, date: DATE })).toMatchObject({
		leftL: 20,
		residualL: 20,
		rinsesL: [100, 100, 100],
		rinsedAt: expect.stringContaining(`${DATE}T`),
	});
});

test('logged, they leave the store alone, are lines of their own, and all lines still add up to what was poured', async () => {
	const { api } = testBooks();
	const { jobId, longId, productId } = await sprayed(api);
	const stock = async () => (await api.store.onHand({})).find((line) => line.productId === productId)?.amount;
	const before = await stock();
	const treated = async () =>
		(await api.season.read({ report: 'product totals', from: '2026-01-01', to: '2026-12-31' })).rows[0];
	const totals = await treated();
	const logged = await api.jobs.logWashings({
		key: 'w',
		jobId,
		...rinsed,
		fields: [{ fieldId: longId, areaHa: 0.5 }],
		...times,
		rinsedOut: true,
	});
	expect([logged.recordIds.length, logged.findings, logged.sprayedL]).toEqual([1, [], 300]);
	expect(await stock()).toBe(before);
	const lines = await api.records.list({ jobId });
	const own = lines.find(({ washings }) => washings !== null);
	expect(own).toMatchObject({
		field: 'Long Piece',
		treatedHa: 0,
		washings: { areaHa: 0.5, litres: 300, over: 'sprayed ground' },
		sprayVolumeLPerHa: 600,
		confirmed: true,
	});
	expect(own?.dosePerHa).toBeCloseTo(HELD / 0.5, 5);
	expect(lines.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(15.1, 9);
	const pass = lines.find(({ field, washings }) => field === 'Long Piece' && washings === null);
	expect(pass).toMatchObject({ version: 2, treatedHa: 10, why: 'what stayed in the tank went out as washings' });
	// What stayed was never part of the dose on the ground.
	expect(pass?.dosePerHa).toBeCloseTo(1, 6);
	// No hectare and no treatment more: the ground is as it was, and so is the amount; what stayed lies on it now.
	expect(await treated()).toEqual({ ...totals, stayed: null, meanDose: expect.closeTo((15 + HELD) / 15, 5) });
	const diary = await api.season.read({ report: 'spray diary', from: DATE, to: DATE });
	expect(diary.rows.map((row) => [row['kind'], row['treatedHa'], row['washedHa']])).toContainEqual([
		'washings',
		null,
		0.5,
	]);
	const [job] = [await api.jobs.get({ id: jobId })];
	expect(job?.washings).toMatchObject([
		{ state: 'current', load: 1, sprayedL: 300, fields: [{ field: 'Long Piece' }] },
	]);
	expect(job?.fields.map(({ treatedHa }) => treatedHa)).toEqual([10, 5]);
	expect((await api.records.verify({})).ok).toBe(true);
	const state = await api.fills.tankState({ sprayerId: job?.sprayerId ?? '' });
	expect(state.rinsedOut).toMatchObject({ factor: expect.closeTo(216, 6), washings: 'Long Piece' });
});

test('their dose counts in the limits of what comes after, they are no treatment more', async () => {
	const { api } = testBooks();
	const grams = { kind: 'activeSubstance', substance: 'copper', max: 1000, per: 'season', source: 'label' };
	const { jobId, longId, productId } = await sprayed(api, { limits: [grams] });
	await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields: [{ fieldId: longId, areaHa: 0.5 }], ...times });
	const found = await api.limits.check({
		fields: [{ fieldId: longId }],
		products: [{ productId, dosePerHa: 1 }],
		date: '2026-05-20',
	});
	const of = (kind: string) => found.find((finding) => finding.kind === kind);
	// 400 g/L × (1.000 of the pass + 0.199 washed over it + 1 now).
	expect(of('activeSubstance')?.value).toBeCloseTo(400 * (1 + HELD / 0.5 + 1), 3);
	expect(of('treatments')).toMatchObject({ value: 2, verdict: 'ok' });
	const review = await api.season.read({ report: 'limit review', from: DATE, to: DATE });
	expect(review.rows.filter((row) => row['kind'] === 'single dose')).toEqual([]);
});

test('more than the label leaves room for is recorded all the same, and stands on the record and in the review', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	const logged = await api.jobs.logWashings({
		key: 'w',
		jobId,
		...rinsed,
		fields: [{ fieldId: longId, areaHa: 0.2 }],
		...times,
	});
	expect(logged.findings.map(({ kind, verdict }) => [kind, verdict])).toEqual([['singleDose', 'block']]);
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own?.findings[0]).toMatch(/^The dose is 1\.49\d L\/ha; the label allows 1\.25 L\/ha\.$/);
	const review = await api.season.read({ report: 'limit review', from: DATE, to: DATE });
	expect(review.rows.map((row) => [row['field'], row['kind'], row['verdict']])).toContainEqual([
		'Long Piece',
		'single dose',
		'exceeded',
	]);
});

test('taken back, their lines are reversed and the others hold again what they held', async () => {
	const { api } = testBooks();
	const { jobId, longId, rookeryId } = await sprayed(api);
	const amounts = async () =>
		(await api.records.list({ jobId })).map(({ field, amount, dosePerHa }) => [field, amount, dosePerHa]);
	const before = await amounts();
	const fields = [
		{ fieldId: longId, areaHa: 0.3 },
		{ fieldId: rookeryId, areaHa: 0.2 },
	];
	const { washingsId, recordIds } = await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields, ...times });
	expect(recordIds).toHaveLength(2);
	const back = { jobId, load: 1, why: 'wrong', by: 'J. Wren' };
	expect(await refusal(api.jobs.reverseLoad({ key: 'l', ...back }))).toEqual({
		code: 'job.washedOut',
		details: { field: 'Long Piece' },
	});
	await api.jobs.reverseWashings({ key: 'b', jobId, washingsId, why: 'another field', by: 'J. Wren' });
	expect(await amounts()).toEqual(before);
	expect((await api.jobs.get({ id: jobId })).washings.map(({ state }) => state)).toEqual(['reversed']);
	expect(
		(await refusal(api.jobs.reverseWashings({ key: 'c', jobId, washingsId, why: 'again', by: 'J. Wren' }))).code,
	).toBe('not.found');
	await api.jobs.reverseLoad({ key: 'l', ...back });
	expect((await api.records.verify({})).ok).toBe(true);
});

test('ground kept back for them is ground treated anew, and ground that was not sprayed is asked about', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	const { id: otherId } = await api.fields.add({ name: 'Twelve Acre', mappedHa: 5, measuredHa: 5 });
	const asked = await api.jobs.washingsAhead({
		jobId,
		...rinsed,
		date: DATE,
		fields: [{ fieldId: otherId, areaHa: 1 }],
	});
	expect(asked.findings.map(({ kind, say }) => [kind, say])).toContainEqual([
		'ground',
		'This job sprayed nothing on Twelve Acre: it is unsprayed ground.',
	]);
	const over = 'unsprayed ground' as const;
	const ahead = await api.jobs.washingsAhead({
		jobId,
		...rinsed,
		date: DATE,
		fields: [{ fieldId: longId, areaHa: 0.1, over }],
	});
	// On bare ground the whole dose is to spare: 0.0995 L ÷ 1.25 L/ha.
	expect(ahead.fields[0]?.leastHa).toBeCloseTo(HELD / 1.25, 5);
	expect(ahead.findings.map(({ kind, say }) => [kind, say])).toEqual([
		['ground', 'By the register this job left nothing of Long Piece unsprayed.'],
	]);
	await api.jobs.logWashings({
		key: 'w',
		jobId,
		...rinsed,
		fields: [{ fieldId: longId, areaHa: 0.1, over }],
		...times,
	});
	const own = (await api.records.list({ jobId })).find(({ washings }) => washings !== null);
	expect(own).toMatchObject({ treatedHa: 0.1, washings: { over } });
});

test('they are refused where no mix is known, or where they would hold more than was mixed', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api, { log: false });
	const wash = { jobId, ...rinsed, fields: [{ fieldId: longId, areaHa: 1 }], ...times };
	expect((await refusal(api.jobs.logWashings({ key: 'w', ...wash }))).details).toMatchObject({ path: 'jobId' });
	await logWhole(api, jobId);
	const over = await refusal(api.jobs.logWashings({ key: 'w', ...wash, leftL: 4000 }));
	expect([over.code, over.details]).toEqual([
		'washings.moreThanMixed',
		{ held: expect.closeTo(19.999, 2), mixed: 15.1, unit: 'L', product: 'Copper' },
	]);
});

test('of a load that was broken off they take first what lies on no ground yet', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api, { log: false });
	await api.jobs.logLoad({
		key: 'stop',
		jobId,
		...morning,
		finishedAt: `${DATE}T08:00`,
		actual: { fields: [{ fieldId: longId, areaHa: 9 }] },
		stopped: { why: 'breakdown' },
	});
	const [first] = await api.records.list({ jobId });
	await api.jobs.logWashings({
		key: 'w',
		jobId,
		leftL: 100,
		residualL: 0,
		fields: [{ fieldId: longId, areaHa: 5 }],
		...times,
	});
	const lines = await api.records.list({ jobId });
	expect(lines.find(({ id }) => id === first?.id)).toMatchObject({ version: 1, amount: first?.amount });
	expect(lines.find(({ washings }) => washings !== null)?.amount).toBeCloseTo(0.5, 6);
	await api.jobs.logLoad({
		key: 'on',
		jobId,
		load: 1,
		startedAt: `${DATE}T12:00`,
		finishedAt: `${DATE}T13:00`,
		operator: 'A. Marsh',
	});
	const all = await api.records.list({ jobId });
	expect(all.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(15.1, 9);
});

test('the season counts them as ground: of what was poured beyond dose × area', async () => {
	const { api } = testBooks();
	const { jobId, longId } = await sprayed(api);
	const ground = async () =>
		(await api.season.reconcile({ from: '2026-01-01', to: '2026-12-31' })).products.find(
			({ name }) => name === 'Copper',
		)?.ground;
	expect(await ground()).toBeCloseTo(15, 9);
	await api.jobs.logWashings({ key: 'w', jobId, ...rinsed, fields: [{ fieldId: longId, areaHa: 0.5 }], ...times });
	expect(await ground()).toBeCloseTo(15 + HELD, 6);
});

test('the plan says field by field where washings have room', async () => {
	const { api } = testBooks();
	const grams = { kind: 'activeSubstance', substance: 'copper', max: 500, per: 'season', source: 'label' };
	const { plan, rookeryId, jobId } = await sprayed(api, { limits: [grams], log: false });
	await api.fields.setCrop({ key: 'c', id: rookeryId, season: 2026, crop: 'Sugar beet', eppoCode: 'BEAVA' });
	const { end } = await api.jobs.preview({
		...plan,
		forJob: jobId,
		products: plan.products.map((line) => ({ ...line, dosePerHa: 1.1 })),
	});
	const leftL = end?.washings.leftL ?? 0;
	const held = (1.1 * leftL) / 200;
	const [long, rookery] = end?.washings.fields ?? [];
	// Label: 0.15 L/ha to spare; copper: 500 ÷ 400 − 1.1 = 0.15 L/ha as well, less the rounding of a double.
	expect(long?.leastHa).toBeCloseTo(held / 0.15, 6);
	expect([long?.field, long?.sprayedHa, long?.notForCrop]).toEqual(['Long Piece', 10, []]);
	expect(rookery).toMatchObject({ field: 'Rookery', notForCrop: ['Copper'] });
});
