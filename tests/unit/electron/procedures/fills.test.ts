import { expect, test } from 'vitest';
import type { Api } from './test-books.ts';
import { refusal, smallFarm, testBooks } from './test-books.ts';

const START = Date.parse('2026-04-15T07:00:00Z');

/** One load of 2,000 L: 3 × 5 L of the suspension and 3 × 1 kg of the granule. */
async function oneLoad(api: Api) {
	const farm = await smallFarm(api);
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: farm.fieldId, areaHa: 10 }],
		products: [
			{ productId: farm.suspensionId, dosePerHa: 1.5 },
			{ productId: farm.granuleId, dosePerHa: 0.3 },
		],
		operator: 'A. Marsh',
		date: '2026-04-15',
	});
	return { ...farm, jobId };
}

type Said = Partial<Parameters<Api['fills']['step']>[0]> & { what: Parameters<Api['fills']['step']>[0]['what'] };

function noter(api: Api, jobId: string, begin = START) {
	let many = 0;
	return (second: number, said: Said) =>
		api.fills.step({
			key: `step ${begin} ${many++}`,
			jobId,
			load: 1,
			at: new Date(begin + second * 1000).toISOString(),
			...said,
		});
}

/** Water at 250 L/min and 40 s a container, as the meter and the clock of a real fill would say it. */
async function fillOnce(api: Api, jobId: string, begin = START) {
	const note = noter(api, jobId, begin);
	await note(0, { what: 'inlet opened' });
	for (const container of [1, 2, 3, 4, 5, 6]) await note(200 + container * 40, { what: 'container done', container });
	await note(480, { what: 'inlet stopped' });
	return api.fills.log({ key: `log ${begin}`, jobId, load: 1, meteredL: 2000, operator: 'A. Marsh' });
}

test('a fill is put together from its steps, and a second one of the same load begins afresh', async () => {
	const { api } = testBooks();
	const { jobId } = await oneLoad(api);
	const { id, ...logged } = await fillOnce(api, jobId);
	expect(logged).toEqual({
		jobId,
		load: 1,
		startedAt: expect.stringContaining('2026-04-15T'),
		finishedAt: expect.stringContaining('2026-04-15T'),
		meteredL: 2000,
		runningS: 480,
		stopsS: [],
		containers: 6,
		handlingS: 160,
		operator: 'A. Marsh',
	});
	expect(Date.parse(logged.finishedAt) - Date.parse(logged.startedAt)).toBe(480_000);
	expect(await api.fills.steps({ jobId, load: 1 })).toEqual({ steps: [], logged: { id, ...logged } });
	expect(await api.fills.ofLoad({ jobId, load: 1 })).toEqual({ id, ...logged });
});

test('two devices never count a container twice, and an undone one can be noted again', async () => {
	const { api } = testBooks();
	const { jobId } = await oneLoad(api);
	const note = noter(api, jobId);
	await note(0, { what: 'inlet opened' });
	const first = await note(30, { what: 'container done', container: 1 });
	expect((await refusal(note(31, { what: 'container done', container: 1 }))).code).toBe('fill.stepStands');
	expect((await refusal(note(31, { what: 'container done', container: 7 }))).code).toBe('fill.stepStands');
	await note(32, { what: 'undo', undoes: first.id });
	await note(33, { what: 'container done', container: 1 });
	const { steps } = await api.fills.steps({ jobId, load: 1 });
	expect(steps.map(({ what, container }) => [what, container])).toEqual([
		['inlet opened', null],
		['container done', 1],
		['undo', null],
		['container done', 1],
	]);
});

test('a fill that nobody began cannot be logged', async () => {
	const { api } = testBooks();
	const { jobId } = await oneLoad(api);
	const call = api.fills.log({ key: 'log', jobId, load: 1, meteredL: 10, operator: 'A. Marsh' });
	expect((await refusal(call)).code).toBe('fill.notBegun');
});

test('steps only grow', async () => {
	const { api, book } = testBooks();
	const { jobId } = await oneLoad(api);
	await fillOnce(api, jobId);
	for (const table of ['fill_step', 'fill_log']) {
		expect(() => book.writer.sqlite.exec(`DELETE FROM ${table}`)).toThrow('only grow');
		expect(() => book.writer.sqlite.exec(`UPDATE ${table} SET posted_at = 0, noted_at = 0`)).toThrow();
	}
});

test('after three fills the card is worked out with what they teach, and says so', async () => {
	const { api } = testBooks();
	const { jobId, sprayerId } = await oneLoad(api);
	const paces = [];
	for (const day of [0, 1, 2]) {
		paces.push((await api.jobs.card({ jobId, load: 1 })).pace);
		await fillOnce(api, jobId, START + day * 86_400_000);
	}
	const { pace } = await api.jobs.card({ jobId, load: 1 });
	expect(paces).toEqual(
		[0, 1, 2].map(() => ({ inflowLPerMin: 200, inflowFills: 0, secondsPerContainer: 48, paceFills: 0 })),
	);
	expect({ inflowFills: pace.inflowFills, paceFills: pace.paceFills }).toEqual({ inflowFills: 3, paceFills: 3 });
	expect(pace.inflowLPerMin).toBeGreaterThan(210);
	expect(pace.inflowLPerMin).toBeLessThan(250);
	expect(pace.secondsPerContainer).toBeGreaterThan(40);
	expect(pace.secondsPerContainer).toBeLessThan(48);
	const learned = await api.fills.learned({ sprayerId });
	expect(learned.fills).toBe(3);
	expect(pace).toEqual({
		inflowLPerMin: learned.inflowLPerMin.estimate,
		inflowFills: 3,
		secondsPerContainer: learned.secondsPerContainer.estimate,
		paceFills: 3,
	});
	const { given } = await api.fills.sheet({ jobId, load: 1 });
	expect({ inflow: given?.inflowLPerMin, pour: given?.handling.openAndPourS, rinses: given?.handling.rinsesS }).toEqual(
		{
			inflow: pace.inflowLPerMin,
			pour: pace.secondsPerContainer - 30,
			rinses: [10, 10, 10],
		},
	);
});

test('an incident is logged bare, said more about later, and its product leaves the store once', async () => {
	const { api } = testBooks();
	const { jobId, suspensionId } = await oneLoad(api);
	const bare = await api.fills.incident({ key: 'i1', jobId, load: 1, kind: 'spill', by: 'A. Marsh' });
	const told = await api.fills.completeIncident({
		key: 'i2',
		id: bare.id,
		productId: suspensionId,
		amount: 0.75,
		wentTo: 'concrete, into the tray',
		by: 'A. Marsh',
	});
	const last = await api.fills.completeIncident({ key: 'i3', id: bare.id, told: 'the farm office', by: 'J. Wren' });
	expect(last).toEqual({ ...told, told: 'the farm office', who: 'J. Wren', entries: 3 });
	expect(await api.fills.incidents({ jobId })).toEqual([last]);
	const spills = (await api.store.movements({ productId: suspensionId })).filter(({ kind }) => kind === 'spill');
	expect(spills.map(({ amount, who, why, load }) => ({ amount, who, why, load }))).toEqual([
		{ amount: -0.75, who: 'A. Marsh', why: 'spill', load: 1 },
	]);
	const more = { id: bare.id, productId: suspensionId, by: 'A. Marsh' };
	expect((await refusal(api.fills.completeIncident({ key: 'i4', ...more, amount: 1 }))).code).toBe('incident.posted');
	expect((await refusal(api.fills.completeIncident({ key: 'i5', ...more }))).code).toBe('incident.amountAlone');
});

test('a wrong incident is withdrawn with its reason, and its spill comes back to the shelf', async () => {
	const { api } = testBooks();
	const { jobId, suspensionId } = await oneLoad(api);
	const held = async () => (await api.store.onHand({})).find(({ productId }) => productId === suspensionId);
	const before = await held();
	const by = 'A. Marsh';
	const { id } = await api.fills.incident({ key: 'a', jobId, load: 1, kind: 'spill', by });
	await api.fills.completeIncident({ key: 'b', id, productId: suspensionId, amount: 0.75, by });
	await api.fills.completeIncident({ key: 'c', id, told: 'nobody', by });
	const other = { jobId, load: 1, kind: 'leak' as const, productId: suspensionId, amount: 0.5, by };
	const { id: otherId } = await api.fills.incident({ key: 'd', ...other });
	const back = await api.fills.withdrawIncident({ key: 'w', id, why: 'it was water', by: 'J. Wren' });
	expect(back).toMatchObject({ amount: 0.75, entries: 4, withdrawn: { why: 'it was water', by: 'J. Wren' } });
	expect((await held())?.amount).toBe((before?.amount ?? 0) - 0.5);
	const moved = await api.store.movements({ productId: suspensionId });
	const first = moved.find(({ kind }) => kind === 'reversal');
	expect(first).toMatchObject({ amount: 0.75, why: 'it was water', who: 'J. Wren' });
	expect(moved.find((row) => row.id === first?.reverses)).toMatchObject({ kind: 'spill' });
	const season = await api.season.reconcile({ from: '2026-01-01', to: '2027-12-31' });
	expect(season.findings).toEqual([]);
	expect((await api.fills.incidents({ jobId })).map((each) => [each.id, each.withdrawn?.why])).toContainEqual([
		id,
		'it was water',
	]);
	expect(await refusal(api.fills.withdrawIncident({ key: 'x', id, why: 'again', by }))).toEqual({
		code: 'incident.withdrawn',
		details: { why: 'it was water' },
	});
	expect((await refusal(api.fills.completeIncident({ key: 'y', id, done: 'more', by }))).code).toBe(
		'incident.withdrawn',
	);
	expect((await refusal(api.fills.withdrawIncident({ key: 'z', id: 'none', why: 'w', by }))).code).toBe('not.found');
	// Corrected in the store already: nothing comes back a second time.
	const spill = (await api.store.movements({ productId: suspensionId })).find(({ amount }) => amount === -0.5);
	await api.store.reverse({ key: 'r', movementId: spill?.id ?? '', why: 'counted again', by });
	await api.fills.withdrawIncident({ key: 'v', id: otherId, why: 'not so', by });
	expect((await held())?.amount).toBe(before?.amount);
});

test('what a stock take has covered since is not lost when the incident is withdrawn', async () => {
	const { api } = testBooks();
	const { suspensionId: productId } = await oneLoad(api);
	const by = 'A. Marsh';
	const { id } = await api.fills.incident({ key: 'i', kind: 'leak', productId, amount: 61, by });
	await api.store.count({ key: 'c', productId, counted: 3, why: 'stock take', by });
	await api.fills.withdrawIncident({ key: 'w', id, why: 'misread', by });
	const line = (await api.store.onHand({})).find((each) => each.productId === productId);
	expect([line?.amount, line?.openDiscrepancy]).toEqual([3, 0]);
});

test('what was spilled is posted even where the book holds less', async () => {
	const { api } = testBooks();
	const { suspensionId } = await oneLoad(api);
	await api.fills.incident({ key: 'i', kind: 'leak', productId: suspensionId, amount: 61, by: 'A. Marsh' });
	const line = (await api.store.onHand({})).find(({ productId }) => productId === suspensionId);
	expect({ amount: line?.amount, open: line?.openDiscrepancy }).toEqual({ amount: -1, open: -1 });
});

test('the tank says what was in it last, and whether it was rinsed out since', async () => {
	const { api } = testBooks();
	const { jobId, sprayerId } = await oneLoad(api);
	expect(await api.fills.tankState({ sprayerId })).toMatchObject({ last: null, rinsedOut: null, next: { jobId } });
	await api.jobs.logLoad({
		key: 'load',
		jobId,
		load: 1,
		startedAt: '2026-04-15T08:00:00Z',
		finishedAt: '2026-04-15T09:00:00Z',
		operator: 'A. Marsh',
	});
	const rinse = { sprayerId, residualL: 20, rinsesL: [80, 80], washings: 'on the field', operator: 'A. Marsh' };
	await api.fills.rinseOut({ key: 'r0', at: '2026-04-15T07:00:00Z', ...rinse });
	expect(await api.fills.tankState({ sprayerId })).toMatchObject({
		last: { jobId, products: [{ name: 'Suspension' }, { name: 'Granule' }] },
		rinsedOut: null,
		next: null,
	});
	// 20 L in 100 L, twice: 25 times weaker.
	expect(await api.fills.rinseOut({ key: 'r1', at: '2026-04-15T10:00:00Z', ...rinse })).toMatchObject({ factor: 25 });
	expect((await api.fills.tankState({ sprayerId })).rinsedOut).toMatchObject({ factor: 25, washings: 'on the field' });
});

test('a recipe is kept under its name, and the mixes of the last jobs stand beside', async () => {
	const { api } = testBooks();
	const { jobId, suspensionId } = await oneLoad(api);
	const mix = { name: 'T1', sprayVolumeLPerHa: 150, products: [{ productId: suspensionId, dosePerHa: 1 }] };
	const first = await api.recipes.save({ key: 'a', ...mix });
	const second = await api.recipes.save({ key: 'b', ...mix, sprayVolumeLPerHa: 200 });
	expect(second).toEqual({ ...first, sprayVolumeLPerHa: 200, version: 2 });
	const { recipes, lastJobs } = await api.recipes.list({});
	expect(recipes).toEqual([second]);
	expect(lastJobs).toMatchObject([
		{ jobId, sprayVolumeLPerHa: 200, products: [{ dosePerHa: 1.5 }, { dosePerHa: 0.3 }] },
	]);
	await api.recipes.remove({ key: 'c', id: first.id });
	expect((await api.recipes.list({})).recipes).toEqual([]);
	expect(
		(await refusal(api.recipes.save({ key: 'd', ...mix, products: [{ productId: 'x', dosePerHa: 1 }] }))).code,
	).toBe('not.found');
});
