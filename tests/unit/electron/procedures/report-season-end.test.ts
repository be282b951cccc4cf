import { expect, test } from 'vitest';
import { readFarm } from '../../../../db/modules/settings.ts';
import { todayOnFields } from '../../../../electron/procedures/report-today.ts';
import type { Report } from '../../../../shared/contract/season.ts';
import { type Api, refusal, type TestBooks, testBooks } from './test-books.ts';

const SEASON = { from: '2025-10-01', to: '2026-09-30' };

/** Wheat of 10 ha and barley of 20 ha; a fungicide, a herbicide without a re-entry time, an oil; three sprays. */
async function farm({ api }: TestBooks) {
	await api.settings.save({ key: 'farm', zone: 'Europe/London', seasonStartMonth: 10, operator: 'A. Marsh' });
	const wheat = await field(api, 'Long Piece', 10, ['Winter wheat', 'TRZAW']);
	const barley = await field(api, 'Mill Bank', 20, ['Winter barley', 'HORVW']);
	const fungicide = await api.products.add({
		name: 'Fungicide',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		authorisationNo: 'A-1',
		actives: [{ substance: 'azoxystrobin', content: 250, contentUnit: 'g/L', modeOfAction: 'FRAC 11' }],
		limits: [
			{ kind: 'singleDose', max: 1 },
			{ kind: 'totalDose', max: 1.5, per: 'crop' },
			{ kind: 'interval', min: 14 },
			{ kind: 'harvestInterval', min: 35, crop: 'TRZAW' },
			{ kind: 'harvestInterval', min: 42, crop: 'HORVW' },
			{ kind: 'reentry', min: 48 },
			{ kind: 'livestock', min: 7 },
		],
	});
	const herbicide = await api.products.add({
		name: 'Herbicide',
		formulation: 'WG',
		unit: 'kg',
		packSizes: [1],
		actives: [{ substance: 'tribenuron-methyl', content: 500, contentUnit: 'g/kg', modeOfAction: 'HRAC 2' }],
		referenceDoses: [{ dosePerHa: 0.5 }, { crop: 'TRZAW', dosePerHa: 0.4 }],
	});
	const oil = await api.products.add({
		name: 'Oil',
		formulation: 'EC',
		unit: 'L',
		packSizes: [5],
		kind: 'oil adjuvant',
	});
	for (const { id, size } of [
		{ id: fungicide.id, size: 5 },
		{ id: herbicide.id, size: 1 },
		{ id: oil.id, size: 5 },
	]) {
		await api.store.receive({ key: `in ${id}`, productId: id, packSize: size, packs: 20, date: '2026-03-01' });
	}
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 100 });
	const spray = async (key: string, date: string, where: Where, products: readonly (readonly [string, number])[]) => {
		const { id } = await api.jobs.add({
			key,
			name: key,
			sprayerId,
			sprayVolumeLPerHa: 100,
			fields: [where],
			products: products.map(([productId, dosePerHa]) => ({ productId, dosePerHa })),
			date,
			customer: 'Brook Estate',
			reason: 'septoria',
			overrideWhy: 'walked with the adviser',
		});
		await api.jobs.logLoad({
			key: `${key} log`,
			jobId: id,
			load: 1,
			startedAt: `${date}T17:40`,
			finishedAt: `${date}T18:40`,
			operator: 'A. Marsh',
		});
		return id;
	};
	return { wheat, barley, fungicide: fungicide.id, herbicide: herbicide.id, oil: oil.id, spray };
}

type Where = { readonly fieldId: string; readonly areaHa?: number };

async function field(api: Api, name: string, mappedHa: number, [crop, eppoCode]: readonly [string, string]) {
	const { id } = await api.fields.add({ name, mappedHa, code: name.slice(0, 1) });
	await api.fields.setCrop({ key: `crop ${name}`, id, season: 2026, crop, eppoCode });
	return id;
}

function readable({ rows }: Pick<Report, 'rows'>, keys: readonly string[]): unknown[][] {
	return rows.map((row) => keys.map((key) => row[key]));
}

async function todayAt({ book }: TestBooks, now: string) {
	const farmRow = await readFarm(book.read);
	const context = { db: book.read, book, now: Date.parse(now), farm: farmRow, demo: false, printer: null };
	return todayOnFields(context, SEASON);
}

test('today: what holds on each field, with the product it comes from, to the minute', async () => {
	const books = testBooks();
	const { wheat, barley, fungicide, herbicide, spray } = await farm(books);
	await spray('t1', '2026-05-14', { fieldId: wheat }, [[fungicide, 0.5]]);
	await spray('t2', '2026-05-15', { fieldId: barley }, [
		[fungicide, 0.5],
		[herbicide, 0.2],
	]);
	const report = await todayAt(books, '2026-05-16T17:39:00Z');
	const keys = ['field', 'treatedOn', 'treatedWith', 'entryOn', 'entryAt', 'entryUnknown'];
	expect(readable(report, keys)).toEqual([
		['Long Piece', '2026-05-14', 'Fungicide', '2026-05-16', '2026-05-16T18:40:00+01:00', null],
		['Mill Bank', '2026-05-15', 'Fungicide, Herbicide', '2026-05-17', '2026-05-17T18:40:00+01:00', 'Herbicide'],
	]);
	expect(readable(report, ['livestockOn', 'harvestOn', 'harvestFor', 'againFor', 'againOn'])).toEqual([
		['2026-05-21', '2026-06-18', 'Fungicide', 'Fungicide', '2026-05-28'],
		['2026-05-22', '2026-06-26', 'Fungicide', 'Fungicide', '2026-05-29'],
	]);
	expect(report.notes[0]).toBe('As it stands at 18:39 on 16 May 2026.');
	expect(readable(await todayAt(books, '2026-05-16T17:40:00Z'), ['entryOn'])).toEqual([[null], ['2026-05-17']]);
	expect(readable(await todayAt(books, '2026-06-18T12:00:00Z'), ['field', 'harvestOn', 'againOn'])).toEqual([
		['Mill Bank', '2026-06-26', null],
	]);
	expect((await todayAt(books, '2026-06-26T12:00:00Z')).rows).toEqual([]);
});

test('treatment frequency index: reference dose of the crop before the label’s, part fields by their area, adjuvants not counted', async () => {
	const books = testBooks();
	const { wheat, barley, fungicide, herbicide, oil, spray } = await farm(books);
	await spray('t1', '2026-04-10', { fieldId: wheat }, [
		[fungicide, 0.5],
		[oil, 1],
	]);
	await spray('t2', '2026-05-01', { fieldId: wheat, areaHa: 4 }, [[herbicide, 0.4]]);
	await spray('t3', '2026-05-02', { fieldId: barley }, [[herbicide, 0.5]]);
	const report = await books.api.season.read({ report: 'treatment frequency index', ...SEASON });
	const keys = ['field', 'areaHa', 'treatments', 'herbicide', 'fungicide', 'index'];
	const near = (value: number) => expect.closeTo(value, 9);
	expect(readable(report, keys)).toEqual([
		['Long Piece', 10, 2, near(0.4), near(0.5), near(0.9)],
		['Mill Bank', 20, 1, near(1), 0, near(1)],
	]);
	expect(report.totals).toMatchObject({ field: 'farm, by area', areaHa: 30, index: near((0.9 * 10 + 1 * 20) / 30) });
	expect(report.notes).toContain(
		'Held against the largest single dose of the label, no reference dose is entered: Fungicide.',
	);
});

test('job sheet: one job alone with its customer, or every job of the period', async () => {
	const books = testBooks();
	const { wheat, barley, fungicide, spray } = await farm(books);
	const jobId = await spray('t1', '2026-04-10', { fieldId: wheat }, [[fungicide, 0.5]]);
	await spray('t2', '2026-05-02', { fieldId: barley }, [[fungicide, 0.25]]);
	const keys = ['customer', 'job', 'field', 'treatedHa', 'product', 'amount', 'startedAt', 'operator'];
	const first = ['Brook Estate', 't1', 'Long Piece', 10, 'Fungicide', 5, '2026-04-10T17:40:00+01:00', 'A. Marsh'];
	const { api } = books;
	const other = { from: '2026-08-01', to: '2026-08-02' };
	expect(readable(await api.season.read({ report: 'job sheet', ...other, jobId }), keys)).toEqual([first]);
	expect((await api.season.read({ report: 'job sheet', ...SEASON })).rows).toHaveLength(2);
	const { fields, products } = await api.jobs.get({ id: jobId });
	const advised = await api.recommendations.add({
		key: 'advice',
		adviser: 'C. Reed',
		certificateNo: 'B 17',
		givenOn: '2026-04-20',
		validUntil: '2026-05-05',
		fieldIds: fields.map(({ fieldId }) => fieldId),
		products: products.map(({ productId }) => ({ productId, dosePerHa: 0.4 })),
	});
	const asked = await api.jobs.get({ id: jobId });
	const followed = await api.jobs.add({
		key: 'followed',
		name: 'As advised',
		sprayerId: asked.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: fields.map(({ fieldId }) => ({ fieldId })),
		products: products.map(({ productId }) => ({ productId, dosePerHa: 0.3 })),
		date: '2026-05-04',
		recommendationId: advised.id,
		overrideWhy: 'as the adviser says',
	});
	await api.jobs.logLoad({
		key: 'late',
		jobId: followed.id,
		load: 1,
		startedAt: '2026-05-06T07:00',
		finishedAt: '2026-05-06T08:00',
		operator: 'A. Marsh',
		allowShort: true,
	});
	const sheet = await api.season.read({ report: 'job sheet', ...other, jobId: followed.id });
	expect(sheet.rows[0]).toMatchObject({ advised: 'C. Reed, 20 April 2026' });
	expect(sheet.notes[0]).toMatch(
		/^As advised: recommended by C\. Reed, certificate B 17, given 20 April 2026, valid until 5 May 2026\. .*0\.3.*Sprayed on 6 May 2026, when it no longer held\.$/,
	);
	const missing = '01890000-0000-7000-8000-000000000000';
	expect(await refusal(api.season.read({ report: 'job sheet', ...other, jobId: missing }))).toMatchObject({
		code: 'not.found',
	});
});

test('US application list: the loads of one use are one line with the nine elements, and what it lacks', async () => {
	const books = testBooks();
	const { wheat, fungicide, spray } = await farm(books);
	await spray('t1', '2026-04-10', { fieldId: wheat }, [[fungicide, 0.5]]);
	const report = await books.api.season.read({ report: 'US application list', ...SEASON });
	expect(report.rows).toEqual([
		{
			date: '2026-04-10',
			startedAt: '2026-04-10T17:40:00+01:00',
			finishedAt: '2026-04-10T18:40:00+01:00',
			product: 'Fungicide',
			registrationNo: 'A-1',
			washings: null,
			amount: 5,
			unit: 'L',
			field: 'Long Piece',
			code: 'L',
			acres: expect.closeTo(24.7105, 4),
			areaHa: 10,
			seed: null,
			space: null,
			crop: 'Winter wheat',
			applicator: 'A. Marsh',
			certificateNo: null,
			keepUntil: '2028-12-31',
			actives: 'azoxystrobin',
			noEntryUntil: '12 April 2026 18:40',
			missing: 'certificate number',
		},
	]);
});

test('limit review: the treatment that went over is named once, with what it was summed with', async () => {
	const books = testBooks();
	const { wheat, fungicide, spray } = await farm(books);
	const { api } = books;
	await spray('t1', '2026-04-10', { fieldId: wheat }, [[fungicide, 0.8]]);
	await spray('t2', '2026-05-02', { fieldId: wheat }, [[fungicide, 0.5]]);
	const [product] = (await api.products.list({})).filter(({ id }) => id === fungicide);
	// The label was entered wrongly and is put right afterwards: the plan was not stopped, the review finds it.
	const limits = product?.limits.map((limit) => (limit.kind === 'totalDose' ? { ...limit, max: 1.2 } : limit)) ?? [];
	await api.products.update({ key: 'label', id: fungicide, version: product?.version ?? 0, limits });
	const report = await api.season.read({ report: 'limit review', ...SEASON });
	const over = report.rows.filter(({ verdict }) => verdict === 'exceeded');
	expect(readable({ rows: over }, ['date', 'field', 'product', 'kind', 'limit', 'value', 'records'])).toEqual([
		['2026-05-02', 'Long Piece', 'Fungicide', 'total dose', '1.2 L/ha', '1.3 L/ha', '1'],
	]);
	expect(over[0]).toMatchObject({ source: 'label', overrideWhy: 'walked with the adviser', entry: 2 });
	expect(new Set(report.rows.map(({ kind }) => kind))).toEqual(new Set(['total dose', 'harvest interval']));
});

test('limits used: what two treatments leave of the label, the fullest first', async () => {
	const books = testBooks();
	const { wheat, fungicide, spray } = await farm(books);
	await spray('t1', '2026-04-10', { fieldId: wheat }, [[fungicide, 0.8]]);
	await spray('t2', '2026-05-02', { fieldId: wheat }, [[fungicide, 0.5]]);
	const report = await books.api.season.read({ report: 'limits used', ...SEASON });
	const { share, left, ...row } = report.rows[0] ?? {};
	expect([Math.round(Number(share)), Math.round(Number(left) * 1000) / 1000]).toEqual([87, 0.2]);
	expect(readable({ rows: [row] }, ['field', 'limit', 'per', 'used', 'max', 'unit', 'records'])).toEqual([
		['Long Piece', 'Fungicide, total dose', 'crop', 1.3, 1.5, 'L/ha', '1, 2'],
	]);
	expect(report.rows.length).toBe(1);
	const early = await books.api.season.read({ report: 'limits used', from: SEASON.from, to: '2026-04-09' });
	expect(early.rows).toEqual([]);
});

test('the logs remind of the sprayer test and of certificates that are not named', async () => {
	const books = testBooks();
	const { wheat, fungicide, spray } = await farm(books);
	const { api } = books;
	await spray('t1', '2026-04-10', { fieldId: wheat }, [[fungicide, 0.8]]);
	const notes = async (report: string) => (await api.season.read({ report, ...SEASON })).notes;
	expect(await notes('operator log')).toEqual([
		'A. Marsh: when the certificate runs out is not on the books.',
		'A. Marsh: no certificate number stands on 1 of 1 loads.',
	]);
	await api.settings.addOperator({
		key: 'op',
		name: 'A. Marsh',
		certificateNo: 'SP-1',
		certificateUntil: '2199-05-01',
	});
	await spray('t2', '2026-05-02', { fieldId: wheat }, [[fungicide, 0.5]]);
	expect(await notes('operator log')).toEqual([
		'A. Marsh: certificate runs out on 1 May 2199.',
		'A. Marsh: no certificate number stands on 1 of 2 loads.',
	]);
	expect(await notes('sprayer log')).toEqual([
		'Trailed: no sprayer test is on the books; when it is due next is not on the books.',
	]);
	const [sprayer] = await api.sprayers.list({});
	const change = async (version: number, dates: { testedOn: string; testDueOn: string }) =>
		api.sprayers.update({ key: dates.testDueOn, id: sprayer?.id ?? '', version, ...dates });
	await change(sprayer?.version ?? 0, { testedOn: '2021-02-03', testDueOn: '2024-02-03' });
	expect(await notes('sprayer log')).toEqual([
		'Trailed: tested on 3 February 2021; was due on 3 February 2024 and is overdue.',
	]);
	await change((sprayer?.version ?? 0) + 1, { testedOn: '2026-02-03', testDueOn: '2199-02-03' });
	expect(await notes('sprayer log')).toEqual(['Trailed: tested on 3 February 2026; next due on 3 February 2199.']);
});
