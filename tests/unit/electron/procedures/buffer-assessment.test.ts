import { expect, test } from 'vitest';
import { addDays, writtenDate } from '../../../../shared/basics/calendar.ts';
import type { RecordLine } from '../../../../shared/contract/records.ts';
import { allRows } from '../../db/sample-rows.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const DATE = addDays(new Date().toISOString().slice(0, 10), -6);
const PERIOD = { from: addDays(DATE, -30), to: addDays(DATE, 30) };
const DITCH = { margin: 'ditch in the north', water: 'wet', width: 'under 3 m', driftReduction: 75, keptM: 1 } as const;

/** The small farm; the label of the suspension asks for 5 m to water, which an assessment may reduce. */
async function farmAtWater(api: Api, label: { reducible?: boolean } = { reducible: true }) {
	await api.settings.save({ key: 'uk', ruleSet: 'uk-code' });
	const farm = await smallFarm(api);
	const { suspensionId: productId } = farm;
	await api.store.receive({ key: 'more', productId, packSize: 5, packs: 40, date: addDays(DATE, -9) });
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === productId) ?? {};
	const limits = [
		{ kind: 'buffer' as const, min: 5, ...label },
		{ kind: 'singleDose' as const, max: 2 },
	];
	await api.products.update({ key: 'limits', id: productId, version, limits });
	return farm;
}

type Farm = Awaited<ReturnType<typeof smallFarm>>;

function wanted({ fieldId, suspensionId, sprayerId }: Farm, dosePerHa = 0.5, date = DATE) {
	return {
		...{ sprayerId, sprayVolumeLPerHa: 100, date, reason: 'blight' },
		...{ fields: [{ fieldId, areaHa: 10 }], products: [{ productId: suspensionId, dosePerHa }] },
	};
}

type Margins = Parameters<Api['jobs']['logLoad']>[0]['margins'];

async function log(api: Api, jobId: string, { date = DATE, ...said }: { date?: string; margins?: Margins } = {}) {
	const times = { startedAt: `${date}T10:00:00`, finishedAt: `${date}T10:45:00` };
	return api.jobs.logLoad({ key: `log ${jobId}`, jobId, load: 1, operator: 'Ada', ...times, ...said });
}

const recordOf = async (api: Api, jobId: string) => (await api.records.list({ jobId }))[0] as RecordLine;
const buffers = (limits: readonly { kind: string; verdict: string; say: string }[]) =>
	limits.filter(({ kind }) => kind === 'buffer');

test('the assessment stands on the record beside what the label said, with the class of the dose', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	expect((await log(api, jobId, { margins: [DITCH] })).findings).toEqual([]);
	const record = await recordOf(api, jobId);
	expect(record.assessed).toEqual({
		...{ margins: [{ ...DITCH, by: 'Ada' }], labelM: 5, reducible: true, doseClass: 'quarter', largestDose: 2 },
	});
	expect(record.missing).not.toContain('buffer assessment');
	expect((await api.jobs.get({ id: jobId })).logs[0]?.margins).toEqual([DITCH]);
	const { rows } = await api.season.read({ report: 'spray diary', ...PERIOD });
	expect(rows[0]?.assessed).toBe(
		'ditch in the north: wet, under 3 m wide, 75 % less drift, 1 m kept, by Ada. The label asks for 5 m, which an assessment may reduce; quarter dose class',
	);
	expect((await api.season.read({ report: 'limit review', ...PERIOD })).rows).toEqual([]);
	expect(await api.records.verify({})).toMatchObject({ ok: true });
});

test('the card has the distance also where the strip on the books is wide enough, so that the log asks', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm), bufferM: 6 });
	const card = await api.jobs.card({ jobId, load: 1 });
	expect(buffers(card.limits)).toMatchObject([{ verdict: 'ok', limit: 5, value: 6 }]);
	const plan = await api.jobs.preview({ ...wanted(farm), bufferM: 6 });
	expect(buffers(plan.limits)).toEqual([]);
});

test('without it the record lacks it by the British rules, and it is filled in later by field', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const other = await api.fields.add({ name: 'Mill Bank', measuredHa: 10 });
	const plan = wanted(farm);
	const fields = [...plan.fields, { fieldId: other.id, areaHa: 10 }];
	const { id: jobId } = await api.jobs.add({ key: 'a', ...plan, fields });
	await log(api, jobId);
	const lines = async () => (await api.records.list({ jobId })).toSorted((a, b) => a.field.localeCompare(b.field));
	expect((await lines()).map(({ missing }) => missing.includes('buffer assessment'))).toEqual([true, true]);
	expect((await api.season.read({ report: 'limit review', ...PERIOD })).rows.map(({ kind }) => kind)).toEqual([
		...['buffer', 'buffer'],
	]);
	await api.records.complete({
		...{ key: 'c', jobId, by: 'J. Wren' },
		margins: [
			{ ...DITCH, fieldId: farm.fieldId, by: 'Ada' },
			{ fieldId: other.id, margin: 'all round', water: 'none' },
		],
	});
	const after = await lines();
	expect(after.map(({ field, assessed }) => [field, assessed?.margins])).toEqual([
		[expect.not.stringContaining('Mill Bank'), [{ ...DITCH, by: 'Ada' }]],
		['Mill Bank', [{ margin: 'all round', water: 'none', by: 'J. Wren' }]],
	]);
	expect(after.flatMap(({ missing }) => missing)).not.toContain('buffer assessment');
	expect((await api.season.read({ report: 'limit review', ...PERIOD })).rows).toEqual([]);
	// What stands there stays; a correction takes its place.
	await api.records.complete({ key: 'd', jobId, by: 'J. Wren', margins: [{ ...DITCH, keptM: 4 }] });
	const [first] = await lines();
	if (!first) throw new Error('no record');
	expect(first.assessed?.margins[0]?.keptM).toBe(1);
	const corrected = await api.records.correct({
		...{ key: 'e', id: first.id, version: first.version, why: 'misread', by: 'Ada' },
		margins: [{ ...DITCH, keptM: 3 }],
	});
	expect(corrected.assessed?.margins).toEqual([{ ...DITCH, keptM: 3, by: 'Ada' }]);
	expect(await api.records.verify({})).toMatchObject({ ok: true });
});

test('a label that does not let it be reduced is a breach, and no British rule asks for an assessment', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api, { reducible: false });
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	expect((await log(api, jobId, { margins: [DITCH] })).findings.map(({ kind }) => kind)).toEqual(['buffer']);
	const record = await recordOf(api, jobId);
	expect(record.findings).toEqual(['A strip of 1 m is kept, 5 m are needed. The label does not let it be reduced.']);
	expect(record.missing).not.toContain('buffer assessment');
	expect((await api.season.read({ report: 'limit review', ...PERIOD })).rows).toMatchObject([
		{ verdict: 'exceeded', limit: '5 m', value: '1 m' },
	]);
});

test('records without an assessment hold nothing of it, so that their hashes stand as they were', async () => {
	const { api, book } = testBooks();
	const farm = await farmAtWater(api);
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	await log(api, jobId);
	const { spray_record: records = [], load_log: logs = [] } = allRows(book.reader);
	const rows = [...records, ...logs];
	expect(rows.length).toBe(2);
	for (const row of rows) expect(JSON.stringify(row)).not.toMatch(/assessed|margins/);
});

test('within 48 h of a reduced dose that made the distance smaller a second one warns, planned, logged and looked back at', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const { id: first } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	await log(api, first, { margins: [DITCH] });
	const on = async (days: number) =>
		buffers((await api.jobs.preview({ ...wanted(farm, 0.5, addDays(DATE, days)) })).limits);
	expect((await on(1))[0]).toMatchObject({ verdict: 'warn', say: expect.stringContaining('within 48 h') });
	expect((await on(3))[0]?.verdict).toBe('ask');
	const date = addDays(DATE, 1);
	const { id: second } = await api.jobs.add({ key: 'b', ...wanted(farm, 0.5, date), overrideWhy: 'blight' });
	const full = [{ ...DITCH, keptM: 5 }];
	expect(buffers((await log(api, second, { date, margins: full })).findings)).toMatchObject([{ verdict: 'warn' }]);
	const review = await api.season.read({ report: 'limit review', ...PERIOD });
	expect(review.rows).toMatchObject([{ date, verdict: 'to be looked at', kind: 'buffer' }]);
	// After the full distance, or at a full dose, nothing waits.
	const later = addDays(DATE, 3);
	const { id: third } = await api.jobs.add({ key: 'c', ...wanted(farm, 2, later) });
	await log(api, third, { date: later, margins: [DITCH] });
	expect((await on(4))[0]?.verdict).toBe('ask');
});

test('the 48 h are looked for beyond the first and the last day of a review, and after midnight', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const full = [{ ...DITCH, keptM: 5 }];
	const next = addDays(DATE, 1);
	for (const [key, date, margins] of [
		['a', DATE, [DITCH]],
		['b', next, full],
	] as const) {
		const { id: jobId } = await api.jobs.add({ key, ...wanted(farm, 0.5, date), overrideWhy: 'blight' });
		await log(api, jobId, { date, margins: [...margins] });
	}
	const review = async (from: string, to: string) =>
		(await api.season.read({ report: 'limit review', from, to })).rows.map(({ date, kind, say }) => [date, kind, say]);
	const told = [next, 'buffer', expect.stringContaining(`A reduced dose made the distance smaller on`)];
	expect(await review(next, PERIOD.to)).toEqual([told]);
	expect(await review(PERIOD.from, DATE)).toEqual([told]);
	const { notes } = await api.season.read({ report: 'limit review', from: PERIOD.from, to: DATE });
	expect(notes[0]).toContain(': 1 treatment.');
	expect(notes.join(' ')).toContain('in the days after the period');
	expect([await review(DATE, DATE), await review(PERIOD.from, addDays(DATE, -1))]).toEqual([[told], []]);
	expect(await review(addDays(DATE, 2), PERIOD.to)).toEqual([]);
});

test('a reduced dose that ends after midnight waits 48 h from there', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const { id: first } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	await api.jobs.logLoad({
		...{ key: 'log', jobId: first, load: 1, operator: 'Ada', margins: [DITCH] },
		...{ startedAt: `${DATE}T22:30:00`, finishedAt: `${addDays(DATE, 1)}T00:30:00` },
	});
	const plan = wanted(farm, 0.5, addDays(DATE, 3));
	const [found] = buffers((await api.jobs.preview(plan)).limits);
	expect(found?.say).toContain(`not before ${writtenDate(addDays(DATE, 3))} 00:30`);
});

test('it stands with the products of a mix whose labels ask for a distance; where none does, with all of them', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const mixed = (key: string) => {
		const plan = wanted(farm);
		return { key, ...plan, products: [...plan.products, { productId: farm.granuleId, dosePerHa: 0.1 }] };
	};
	const holds = async (key: string) => {
		const { id: jobId } = await api.jobs.add(mixed(key));
		await log(api, jobId, { margins: [DITCH] });
		const lines = await api.records.list({ jobId });
		return lines.flatMap(({ product, assessed }) => (assessed ? [product] : [])).sort();
	};
	expect(await holds('a')).toEqual(['Suspension']);
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === farm.suspensionId) ?? {};
	await api.products.update({ key: 'none', id: farm.suspensionId, version, limits: [] });
	expect(await holds('b')).toEqual(['Granule', 'Suspension']);
});

test('pressure and the equipment within 30 m stand in log, record, diary and correction; where nothing was said, nothing', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const pressed = { ...DITCH, pressureFromBar: 2, pressureToBar: 3, lessDriftWithin30M: true };
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	await log(api, jobId, { margins: [pressed] });
	expect((await api.jobs.get({ id: jobId })).logs[0]?.margins).toEqual([pressed]);
	const record = await recordOf(api, jobId);
	expect(record.assessed?.margins).toEqual([{ ...pressed, by: 'Ada' }]);
	const { rows } = await api.season.read({ report: 'spray diary', ...PERIOD });
	expect(rows[0]?.assessed).toContain('75 % less drift, 2 to 3 bar, drift-reducing equipment within 30 m, 1 m kept');
	const corrected = await api.records.correct({
		...{ key: 'c', id: record.id, version: record.version, why: 'misread', by: 'Ada' },
		margins: [{ ...DITCH, pressureFromBar: 4 }],
	});
	expect(corrected.assessed?.margins).toEqual([{ ...DITCH, pressureFromBar: 4, by: 'Ada' }]);
	const versions = await api.records.versions({ id: record.id });
	expect(versions.map(({ assessed }) => assessed?.margins[0]?.pressureFromBar)).toEqual([2, 4]);
	const wrong = { ...DITCH, pressureFromBar: 3, pressureToBar: 2 };
	const { id: other } = await api.jobs.add({ key: 'b', ...wanted(farm, 0.5, addDays(DATE, 4)) });
	expect((await refusal(log(api, other, { margins: [wrong] }))).code).toBe('input.invalid');
	expect(await api.records.verify({})).toMatchObject({ ok: true });
});

test('the British rules name both as good to have, from memory, so that no record lacks them', async () => {
	const { api } = testBooks();
	const rules = (await api.records.ruleSets({})).find(({ id }) => id === 'uk-code');
	const named = rules?.items.filter(
		({ item }) => item === 'pressure at the margins' || item === 'less drift within 30 m',
	);
	expect(named?.map(({ required, when, fromMemory }) => [required, when, fromMemory])).toEqual([
		[false, null, true],
		[false, null, true],
	]);
	const farm = await farmAtWater(api);
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	await log(api, jobId, { margins: [DITCH] });
	expect((await recordOf(api, jobId)).missing.filter((item) => /pressure|30 m|buffer/.test(item))).toEqual([]);
});

test('a margin of ground that is not in the job is refused, and so is one without its metres', async () => {
	const { api } = testBooks();
	const farm = await farmAtWater(api);
	const other = await api.fields.add({ name: 'Mill Bank', measuredHa: 10 });
	const { id: jobId } = await api.jobs.add({ key: 'a', ...wanted(farm) });
	const said = async (margins: Margins) => (await refusal(log(api, jobId, { margins }))).code;
	expect(await said([{ ...DITCH, fieldId: other.id }])).toBe('load.fieldNotInJob');
	expect(await said([{ margin: 'brook', water: 'wet' }])).toBe('input.invalid');
});
