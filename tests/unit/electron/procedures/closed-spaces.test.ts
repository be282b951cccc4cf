import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { Sqlite } from '../../../../db/connection.ts';
import type { RecordFile } from '../../../../shared/contract/records-file.ts';
import { onHand } from './machines-farm.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

const OPERATOR = 'A. Marsh';
const by = 'J. Wren';
const times = { startedAt: '2026-06-20T07:00:00Z', finishedAt: '2026-06-20T08:00:00Z', operator: OPERATOR };

/** A farm with a grain store of 12,000 m³ and 1,500 m², a fogger, and a product for fogs and surfaces in stores. */
async function withStore(api: Api) {
	const farm = await smallFarm(api);
	const { id: spaceId } = await api.spaces.add({
		key: 'barn 2',
		name: 'Barn 2',
		kind: 'grain store',
		code: 'ST-2',
		place: 'Mill Lane 4',
		latitude: 52.1,
		longitude: 0.4,
		floorM2: 1500,
		volumeM3: 12_000,
	});
	const { id: foggerId } = await api.sprayers.add({ name: 'Fogger', kind: 'indoor applicator' });
	const { id: fogId } = await api.products.add({
		name: 'Store fog',
		formulation: 'UL',
		unit: 'L',
		packSizes: [5],
		authorisationNo: '0123',
		actives: [{ substance: 'deltamethrin', content: 10, contentUnit: 'g/L' }],
		limits: [
			{ kind: 'singleDose', max: 500, doseUnit: 'mL/1000 m³' },
			{ kind: 'singleDose', max: 0.2 },
			{ kind: 'treatments', max: 1, per: 'season' },
			{ kind: 'activeSubstance', substance: 'deltamethrin', max: 10, per: 'season' },
			{ kind: 'buffer', min: 5 },
			{ kind: 'reentry', min: 24 },
		],
	});
	await api.store.receive({ key: 'in-fog', productId: fogId, packSize: 5, packs: 4, date: '2026-03-01' });
	const wish = {
		kind: 'closed space' as const,
		sprayerId: foggerId,
		indoors: { unit: 'm³' as const, spaces: [{ spaceId }] },
		fields: [],
		products: [{ productId: fogId, dosePerM3: 0.0000005, doseUnit: 'mL/1000 m³' as const }],
		date: '2026-06-20',
	};
	return { ...farm, spaceId, foggerId, fogId, wish };
}

test('a store is fogged from end to end: plan, card, log, record, reports, season, and back', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, wish } = await withStore(api);
	const planned = await api.jobs.preview(wish);
	// 0.5 mL to 1000 m³ in 12,000 m³ is 6 mL: below the measuring step of the farm, so it is said.
	expect(planned.warnings.map(({ code }) => code)).toContain('load.stepTooCoarse');
	const strong = { ...wish, products: [{ productId: fogId, dosePerM3: 0.0005, doseUnit: 'mL/1000 m³' as const }] };
	const job = await api.jobs.add({ key: 's', ...strong });
	expect(
		job.loads.map(({ space, spaceUnit, areaHa, products }) => [space, spaceUnit, areaHa, products[0]?.amount]),
	).toEqual([[12_000, 'm³', 0, 6]]);
	// The dose in the unit of the label is kept; what the label gives per hectare is not held against it.
	expect(job.limits.map(({ kind, verdict, field }) => [kind, verdict, field])).toEqual([['reentry', 'warn', 'Barn 2']]);
	const found = await api.limits.check({ jobId: job.id });
	expect(
		found.filter(({ kind }) => kind === 'singleDose').map(({ verdict, value, unit }) => [verdict, value, unit]),
	).toEqual([
		['ok', 500, 'mL/1000 m³'],
		['unknown', null, null],
	]);
	expect(found.find(({ kind }) => kind === 'activeSubstance')?.verdict).toBe('unknown');
	expect(found.filter(({ kind }) => kind === 'buffer' || kind === 'stage' || kind === 'sprayVolume')).toEqual([]);
	expect(found.filter(({ kind }) => kind === 'totalDose' || kind === 'interval').map(({ verdict }) => verdict)).toEqual(
		['unknown', 'unknown'],
	);

	const card = await api.jobs.card({ jobId: job.id, load: 1 });
	expect(card).toMatchObject({
		fill: null,
		orderProblem: null,
		indoors: { unit: 'm³', spaces: [{ name: 'Barn 2', place: 'Mill Lane 4', amount: 12_000 }] },
	});
	expect(card.order[0]?.dose).toEqual({ value: 500, unit: 'mL/1000 m³' });
	expect(card.keepOut).toContain('24 h');
	expect(card.cautions.join(' ')).toContain('ventilation');

	const logged = await api.jobs.logLoad({ key: 'l', jobId: job.id, load: 1, ...times });
	expect(await onHand(api, fogId)).toBe(14);
	expect(logged.findings.map(({ kind }) => kind)).toEqual(['reentry']);
	const [record] = await api.records.list({ jobId: job.id });
	expect(record).toMatchObject({
		fieldId: null,
		field: 'Barn 2',
		treatedHa: 0,
		dosePerHa: null,
		useType: 'closed space',
		kind: 'closed space',
		amount: 6,
		crop: 'empty grain store',
		eppoCode: null,
		space: {
			spaceId,
			kind: 'grain store',
			code: 'ST-2',
			place: 'Mill Lane 4',
			point: { latitude: 52.1, longitude: 0.4 },
			amount: 12_000,
			unit: 'm³',
			dose: { value: 500, unit: 'mL/1000 m³' },
			empty: true,
		},
		missing: [],
		noEntryUntil: '2026-06-21T08:00:00+00:00',
		harvestFrom: null,
	});
	expect(record?.findings).toEqual([]);

	const june = { from: '2026-06-01', to: '2026-06-30' };
	const read = (report: Parameters<Api['season']['read']>[0]['report'], over = {}) =>
		api.season.read({ report, ...june, ...over });
	expect((await read('spray diary')).rows).toMatchObject([
		{
			field: 'Barn 2',
			place: 'Mill Lane 4',
			space: '12000 m³',
			inSpace: '500 mL/1000 m³',
			treatedHa: null,
			missing: null,
		},
	]);
	expect((await read('product totals')).rows).toMatchObject([
		{ product: 'Store fog', amount: 6, treatedHa: null, meanDose: null, inSpaces: 6, onSeed: null },
	]);
	expect((await read('active substance totals')).rows).toMatchObject([{ kg: 0.06, spaceKg: 0.06, gPerHa: null }]);
	expect((await read('US application list')).rows).toMatchObject([
		{ field: 'Barn 2', acres: null, space: '12000 m³', crop: 'empty grain store' },
	]);
	const today = await read('today', { from: '2026-06-20', to: '2026-06-20' });
	expect(today.rows).toMatchObject([{ field: 'Barn 2', entryFor: 'Store fog' }]);
	const season = await api.season.reconcile({ from: '2026-03-01', to: '2026-06-30' });
	const balance = season.products.find(({ productId }) => productId === fogId);
	expect([balance?.ground, balance?.tank]).toEqual([6, 6]);
	expect(season.jobs.find(({ jobId }) => jobId === job.id)?.say).toContain('closed space');

	// The second fog of the season is one more than the label allows, in this store and in no other.
	const second = { ...strong, date: '2026-07-02' };
	expect((await api.jobs.preview(second)).limits.map(({ kind, verdict }) => [kind, verdict])).toContainEqual([
		'treatments',
		'block',
	]);
	const { id: otherId } = await api.spaces.add({ key: 'space 1', name: 'Barn 3', volumeM3: 100 });
	const elsewhere = await api.jobs.preview({ ...second, indoors: { unit: 'm³', spaces: [{ spaceId: otherId }] } });
	expect(elsewhere.limits.map(({ kind }) => kind)).not.toContain('treatments');

	await api.jobs.reverseLoad({ key: 'b', jobId: job.id, load: 1, why: 'not done', by });
	expect(await onHand(api, fogId)).toBe(20);
	expect(await api.records.list({ jobId: job.id })).toEqual([]);
	await api.jobs.logLoad({
		key: 'l2',
		jobId: job.id,
		load: 1,
		...times,
		actual: { products: [{ productId: fogId, amount: 6.6 }], spaces: [{ spaceId, amount: 11_000 }] },
	});
	const [again] = await api.records.list({ jobId: job.id });
	expect([again?.space?.amount, again?.space?.dose.value, again?.confirmed]).toEqual([11_000, 600, true]);
	expect(again?.findings.join(' ')).toContain('600 mL/1000 m³');
});

test('the season looks back at closed spaces: each fog with those before it, in its own store', async () => {
	const { api } = testBooks();
	const { fogId, wish } = await withStore(api);
	const { id: otherId } = await api.spaces.add({ key: 'other', name: 'Barn 3', volumeM3: 6000 });
	const strong = { ...wish, products: [{ productId: fogId, dosePerM3: 0.0005, doseUnit: 'mL/1000 m³' as const }] };
	const fog = async (key: string, day: string, amount: number, over = {}) => {
		const job = await api.jobs.add({ key, ...strong, date: day, ...over });
		const on = { startedAt: `${day}T07:00:00Z`, finishedAt: `${day}T08:00:00Z`, operator: OPERATOR };
		const actual = { products: [{ productId: fogId, amount }] };
		await api.jobs.logLoad({ key: `log ${key}`, jobId: job.id, load: 1, ...on, actual });
		const [record] = await api.records.list({ jobId: job.id });
		return record?.seq;
	};
	const first = await fog('june', '2026-06-20', 6);
	// Planned for the season after, but done in this one: what is sprayed is always recorded.
	const second = await fog('july', '2026-07-02', 7.2, { date: '2026-10-20' });
	await fog('elsewhere', '2026-07-03', 3, { indoors: { unit: 'm³', spaces: [{ spaceId: otherId }] } });
	const period = { from: '2026-06-01', to: '2026-07-31' };
	const review = await api.season.read({ report: 'limit review', ...period });
	const [dose, number, ...rest] = review.rows;
	expect(rest).toEqual([]);
	expect(number).toMatchObject({
		verdict: 'exceeded',
		date: '2026-07-02',
		field: 'Barn 2',
		product: 'Store fog',
		kind: 'number of treatments',
		value: '2 treatments',
		records: String(first),
		entry: second,
	});
	expect(dose).toMatchObject({ kind: 'single dose', limit: '500 mL/1000 m³', value: '600 mL/1000 m³', entry: second });
	expect(review.notes[0]).toContain('3 treatments');

	const used = await api.season.read({ report: 'limits used', ...period });
	expect(used.rows.map(({ field, limit, used: count, max }) => [field, limit, count, max])).toEqual([
		['Barn 2', 'Store fog, number of treatments', 2, 1],
		['Barn 3', 'Store fog, number of treatments', 1, 1],
	]);
	const index = await api.season.read({ report: 'treatment frequency index', ...period });
	expect(index.notes.join(' ')).toContain('3 treatments of seed or of a closed space');
});

test('a mix above the applicator’s own tank is planned, filled and logged as fills of that tank, in one treatment', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, wish } = await withStore(api);
	const { id: sprayerId } = await api.sprayers.add({ name: 'Hand-held', kind: 'indoor applicator', capacityL: 15 });
	const job = await api.jobs.add({
		key: 'hand',
		...wish,
		sprayerId,
		indoors: { unit: 'm²', mixL: 100, spaces: [{ spaceId }] },
		products: [{ productId: fogId, dosePerM2: 0.001 }],
	});
	expect(job.loads.map(({ totalL, waterL, fills }) => ({ totalL, waterL, fills }))).toEqual([
		{
			totalL: 100,
			waterL: 98.5,
			fills: [
				{ count: 6, mixL: 15, waterL: 14.775, amounts: [0.225] },
				{ count: 1, mixL: 10, waterL: 9.85, amounts: [0.15] },
			],
		},
	]);
	const { portions } = await api.fills.sheet({ jobId: job.id, load: 1 });
	expect(portions?.map(({ product, size }) => [product, size])).toEqual([
		...Array.from({ length: 6 }, () => [
			['Water', 14.775],
			['Store fog', 0.225],
		]).flat(),
		['Water', 9.85],
		['Store fog', 0.15],
	]);
	// What is mixed with water goes in by the order of the tank.
	const { id: wettableId } = await api.products.add({
		name: 'Wall dust',
		formulation: 'WP',
		unit: 'kg',
		packSizes: [1],
	});
	const { id: oilId } = await api.products.add({ name: 'Wall oil', formulation: 'EC', unit: 'L', packSizes: [1] });
	const { id: otherId } = await api.spaces.add({ key: 'other', name: 'Barn 3', floorM2: 1500 });
	const both = await api.jobs.add({
		key: 'both',
		...wish,
		sprayerId,
		indoors: { unit: 'm²', mixL: 100, spaces: [{ spaceId: otherId }] },
		products: [
			{ productId: oilId, dosePerM2: 0.0001 },
			{ productId: wettableId, dosePerM2: 0.001 },
		],
	});
	const { order, orderProblem } = await api.jobs.card({ jobId: both.id, load: 1 });
	expect([orderProblem, order.map(({ name }) => name)]).toEqual([null, ['Wall dust', 'Wall oil']]);
	await api.jobs.logLoad({ key: 'l', jobId: job.id, load: 1, ...times });
	expect(await api.records.list({ jobId: job.id })).toHaveLength(1);
	expect(await onHand(api, fogId)).toBe(18.5);
});

test('grain is treated by the tonne, a floor by the square metre with water; the file says both', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, wish } = await withStore(api);
	const byTonne = {
		...wish,
		indoors: { unit: 't' as const, spaces: [{ spaceId, amount: 400, crop: 'Winter wheat', eppoCode: 'TRZAW' }] },
		products: [{ productId: fogId, dosePer100Kg: 0.0005 }],
	};
	const tonnes = await api.jobs.add({ key: 't', ...byTonne });
	expect(tonnes.loads[0]?.products[0]?.amount).toBe(2);
	expect((await api.jobs.get({ id: tonnes.id })).products[0]?.dose).toEqual({ value: 5, unit: 'mL/t' });
	const { id: shedId } = await api.spaces.add({ key: 'space 2', name: 'Shed', kind: 'potato store', floorM2: 1500 });
	const onFloor = {
		...wish,
		indoors: { unit: 'm²' as const, mixL: 75, spaces: [{ spaceId: shedId }] },
		products: [{ productId: fogId, dosePerM2: 0.0001 }],
	};
	const floor = await api.jobs.add({ key: 'f', ...onFloor });
	expect(floor.loads.map(({ space, totalL, waterL, displacementL }) => [space, totalL, waterL, displacementL])).toEqual(
		[[1500, 75, 74.85, 0.15]],
	);
	await api.jobs.logLoad({ key: 'lt', jobId: tonnes.id, load: 1, ...times, startedAt: '2026-06-20T06:00:00Z' });
	await api.jobs.logLoad({ key: 'lf', jobId: floor.id, load: 1, ...times });
	const { path } = await api.season.recordFile({ from: '2026-06-01', to: '2026-06-30' });
	const file = JSON.parse(readFileSync(path, 'utf8')) as RecordFile;
	expect(
		file.records.map(({ useType, dose, treatedArea, treatedSpace, location, crop, missing }) => ({
			useType,
			dose,
			treatedArea,
			treatedSpace,
			location,
			crop,
			missing,
		})),
	).toEqual([
		{
			useType: 'closed space',
			dose: { value: 5, unit: 'mL/t' },
			treatedArea: null,
			treatedSpace: {
				value: 400,
				unit: 't',
				kind: 'grain store',
				volume: { value: 12_000, unit: 'm³' },
				floor: { value: 1500, unit: 'm²' },
			},
			location: { field: 'Barn 2', code: 'ST-2', address: 'Mill Lane 4', point: { latitude: 52.1, longitude: 0.4 } },
			crop: { name: 'Winter wheat', eppoCode: 'TRZAW' },
			missing: [],
		},
		expect.objectContaining({
			dose: { value: 0.1, unit: 'mL/m²' },
			treatedSpace: expect.objectContaining({ value: 1500, unit: 'm²' }),
			crop: { name: 'empty potato store', eppoCode: null },
		}),
	]);
});

test('what a closed space lacks is asked for, and what is no closed space is refused', async () => {
	const { api } = testBooks();
	const { fieldId, sprayerId, suspensionId, spaceId, fogId, wish } = await withStore(api);
	const preview = (over: object) => api.jobs.preview({ ...wish, ...over });
	const lacks = async (over: object) => (await refusal(preview(over))).details;
	const { indoors: _, ...bare } = wish;
	expect((await refusal(api.jobs.preview(bare))).details).toMatchObject({ path: 'indoors' });
	expect(await lacks({ fields: [{ fieldId }] })).toMatchObject({ path: 'fields' });
	expect(await lacks({ indoors: { unit: 't', spaces: [{ spaceId }] } })).toMatchObject({
		path: 'indoors.spaces[0].amount',
	});
	const twice = { unit: 'm³', spaces: [{ spaceId }, { spaceId }] };
	expect(await lacks({ indoors: twice })).toMatchObject({ path: 'indoors.spaces[1].spaceId' });
	expect(
		await lacks({
			indoors: { unit: 'm³', mixL: 0.001, spaces: [{ spaceId }] },
			products: [{ productId: fogId, dosePerM3: 0.001 }],
		}),
	).toMatchObject({ path: 'indoors.mixL' });
	expect((await refusal(preview({ sprayerId }))).code).toBe('job.wrongMachine');
	expect((await refusal(preview({ products: [{ productId: fogId, dosePerHa: 1 }] }))).code).toBe('load.doseUnclear');
	const { id: unmeasured } = await api.spaces.add({ key: 'space 3', name: 'Bin' });
	expect(
		await refusal(preview({ indoors: { unit: 'm³', spaces: [{ spaceId }, { spaceId: unmeasured }] } })),
	).toMatchObject({
		code: 'space.sizeMissing',
		details: { space: 'Bin', what: 'volume' },
	});
	const onField = {
		sprayerId,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId }],
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	};
	expect((await refusal(api.jobs.preview({ ...onField, indoors: wish.indoors }))).details).toMatchObject({
		path: 'indoors',
	});
	const inSpace = [{ productId: suspensionId, dosePerM3: 1 }];
	expect((await refusal(api.jobs.preview({ ...onField, products: inSpace }))).code).toBe('load.doseUnclear');
	// A label's dose for stores says nothing about a field: there its dose to the hectare counts.
	const sprayed = await api.jobs.preview({ ...onField, products: [{ productId: fogId, dosePerHa: 0.3 }] });
	expect(
		sprayed.limits.filter(({ kind }) => kind === 'singleDose').map(({ verdict, limit }) => [verdict, limit]),
	).toEqual([['block', 0.2]]);
});

test('a treatment that was broken off is gone on with; a rest is not planned', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, wish } = await withStore(api);
	const products = [{ productId: fogId, dosePerM3: 0.0005, doseUnit: 'mL/1000 m³' as const }];
	const { id: jobId } = await api.jobs.add({ key: 'j', ...wish, products });
	const stopped = { why: 'power cut', mix: 'kept' as const };
	const untold = api.jobs.logLoad({ key: 'l0', jobId, load: 1, ...times, stopped });
	expect((await refusal(untold)).details).toMatchObject({ path: 'actual.spaces' });
	await api.jobs.logLoad({
		key: 'l1',
		jobId,
		load: 1,
		...times,
		stopped,
		actual: { spaces: [{ spaceId, amount: 4000 }] },
	});
	expect(await onHand(api, fogId)).toBe(18);
	const rest = api.jobs.previewRest({ id: jobId, carryFrom: 1 });
	expect((await refusal(rest)).code).toBe('job.inOneGo');
	await api.jobs.logLoad({ key: 'l2', jobId, load: 1, ...times });
	expect((await api.records.list({ jobId })).map(({ amount, space }) => [amount, space?.amount]).sort()).toEqual([
		[2, 4000],
		[4, 8000],
	]);
	expect((await api.jobs.get({ id: jobId })).state).toBe('done');
	expect((await api.jobs.close({ key: 'c', id: jobId })).state).toBe('closed');
});

/** Barn 2 of the farm, a shed with barley and a bin, each with a size. */
async function threeSpaces(api: Api) {
	const farm = await withStore(api);
	const { id: shedId } = await api.spaces.add({ key: 'shed', name: 'Shed', volumeM3: 6000, floorM2: 900 });
	const { id: binId } = await api.spaces.add({ key: 'bin', name: 'Bin', kind: 'silo or bin', volumeM3: 2000 });
	const products = [{ productId: farm.fogId, dosePerM3: 0.0005, doseUnit: 'mL/1000 m³' as const }];
	const spaces = [{ spaceId: farm.spaceId }, { spaceId: shedId, crop: 'Spring barley', eppoCode: 'HORVS' }];
	const indoors = { unit: 'm³' as const, spaces: [...spaces, { spaceId: binId, amount: 1000 }] };
	return { ...farm, shedId, binId, wish: { ...farm.wish, products, indoors } };
}

test('several closed spaces are one job: one card, each a treatment, a record and a line of its own', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, shedId, binId, wish } = await threeSpaces(api);
	const job = await api.jobs.add({ key: 's', ...wish });
	expect(job.loads.map(({ space, products }) => [space, products[0]?.amount])).toEqual([[19_000, 9.5]]);
	expect(job.limits.map(({ field, kind }) => [field, kind])).toEqual(
		['Barn 2', 'Shed', 'Bin'].map((name) => [name, 'reentry']),
	);
	expect(await api.jobs.get({ id: job.id })).toMatchObject({
		name: 'Barn 2 and 2 more: Store fog',
		indoors: {
			unit: 'm³',
			spaces: [
				{ name: 'Barn 2', amount: 12_000 },
				{ name: 'Shed', amount: 6000, crop: 'Spring barley' },
				{ name: 'Bin', kind: 'silo or bin', amount: 1000 },
			],
		},
	});
	expect((await api.jobs.list({}))[0]?.fields).toEqual(['Barn 2', 'Shed', 'Bin']);
	const taken = { key: 'x', id: binId, version: 1, why: 'sold' };
	expect((await refusal(api.spaces.remove(taken))).code).toBe('space.jobOpen');

	// The barn is fogged in full and half of the shed; the rest goes on the next day, each space with its own times.
	const stopped = { why: 'nightfall', mix: 'kept' as const };
	const first = [
		{ spaceId, amount: 12_000, startedAt: '2026-06-20T07:00:00Z', finishedAt: '2026-06-20T07:30:00Z' },
		{ spaceId: shedId, amount: 3000, startedAt: '2026-06-20T07:40:00Z', finishedAt: '2026-06-20T08:00:00Z' },
		{ spaceId: binId, amount: 0 },
	];
	const log = { jobId: job.id, load: 1, ...times };
	const both = await api.jobs.logLoad({ key: 'l1', ...log, stopped, actual: { spaces: first } });
	expect(both.drawn).toEqual([{ productId: fogId, amount: 7.5 }]);
	const next = { startedAt: '2026-06-21T07:00:00Z', finishedAt: '2026-06-21T08:00:00Z' };
	await api.jobs.logLoad({ key: 'l2', ...log, ...next });
	const records = (await api.records.list({ jobId: job.id })).toSorted((a, b) => a.seq - b.seq);
	expect(
		records.map(({ field, crop, amount, space, startedAt }) => [field, crop, amount, space?.amount, startedAt]),
	).toEqual([
		['Barn 2', 'empty grain store', 6, 12_000, '2026-06-20T07:00:00+00:00'],
		['Shed', 'Spring barley', 1.5, 3000, '2026-06-20T07:40:00+00:00'],
		['Shed', 'Spring barley', 1.5, 3000, '2026-06-21T07:00:00+00:00'],
		['Bin', 'empty silo or bin', 0.5, 1000, '2026-06-21T07:00:00+00:00'],
	]);
	expect(records.map(({ space }) => space?.dose.value)).toEqual([500, 500, 500, 500]);
	expect(records.map(({ noEntryUntil }) => noEntryUntil)[0]).toBe('2026-06-21T07:30:00+00:00');
	expect(await onHand(api, fogId)).toBe(10.5);
	const saved = await api.jobs.get({ id: job.id });
	expect(saved.logs.map(({ spaces }) => spaces?.map(({ amount }) => amount))).toEqual([
		[12_000, 3000],
		[3000, 1000],
	]);
	expect(saved.state).toBe('done');

	const read = async (report: Parameters<Api['season']['read']>[0]['report'], to = '2026-06-30') =>
		(await api.season.read({ report, from: '2026-06-01', to })).rows;
	expect((await read('diary by field')).map(({ field, space }) => [field, space])).toEqual([
		['Barn 2', '12000 m³'],
		['Bin', '1000 m³'],
		['Shed', '3000 m³'],
		['Shed', '3000 m³'],
	]);
	expect((await read('US application list')).map(({ field, date, space }) => [field, date, space])).toEqual([
		['Barn 2', '2026-06-20', '12000 m³'],
		['Shed', '2026-06-20', '3000 m³'],
		['Shed', '2026-06-21', '3000 m³'],
		['Bin', '2026-06-21', '1000 m³'],
	]);
	expect((await read('today', '2026-06-21')).map(({ field, treatedOn }) => [field, treatedOn])).toEqual([
		['Barn 2', '2026-06-20'],
		['Bin', '2026-06-21'],
		['Shed', '2026-06-21'],
	]);
	expect((await read('limits used')).map(({ field, used, max }) => [field, used, max])).toEqual([
		['Barn 2', 1, 1],
		['Bin', 1, 1],
		['Shed', 1, 1],
	]);
	expect(await read('limit review')).toEqual([]);
	// One job, three spaces: three treatments. The shed was gone on with, which is the same one.
	const index = await api.season.read({ report: 'treatment frequency index', from: '2026-06-01', to: '2026-06-30' });
	expect(index.notes).toContain('Not in it: 3 treatments of seed or of a closed space, which have no hectares.');
	const { path } = await api.season.recordFile({ from: '2026-06-01', to: '2026-06-30' });
	const file = JSON.parse(readFileSync(path, 'utf8')) as RecordFile;
	expect(file.records.map(({ location, treatedSpace }) => [location.field, treatedSpace?.value]).sort()).toEqual([
		['Barn 2', 12_000],
		['Bin', 1000],
		['Shed', 3000],
		['Shed', 3000],
	]);
	const season = await api.season.reconcile({ from: '2026-03-01', to: '2026-06-30' });
	const balance = season.products.find(({ productId }) => productId === fogId);
	expect([balance?.ground, balance?.tank]).toEqual([9.5, 9.5]);

	// What was fogged counts in its own space, whichever job did it.
	const again = await api.jobs.preview({
		...wish,
		date: '2026-07-10',
		indoors: { unit: 'm³', spaces: [{ spaceId: binId }] },
	});
	expect(again.limits.map(({ kind, verdict, field }) => [kind, verdict, field])).toContainEqual([
		'treatments',
		'block',
		'Bin',
	]);
	await api.jobs.reverseLoad({ key: 'b2', jobId: job.id, load: 1, why: 'wrong day', by });
	expect(await api.records.list({ jobId: job.id })).toEqual([]);
	expect(await onHand(api, fogId)).toBe(20);
});

test('a job of several closed spaces is changed to others, and what is no space of it is refused', async () => {
	const { api } = testBooks();
	const { spaceId, shedId, binId, wish } = await threeSpaces(api);
	const { id: jobId } = await api.jobs.add({ key: 's', ...wish });
	const spaces = [{ spaceId: shedId }, { spaceId }];
	await api.jobs.change({ key: 'c', id: jobId, version: 1, ...wish, indoors: { unit: 'm³', spaces } });
	await api.spaces.remove({ key: 'x', id: binId, version: 1, why: 'sold' });
	const log = (parts: readonly { spaceId: string; amount: number; startedAt?: string; finishedAt?: string }[]) =>
		api.jobs.logLoad({ key: 'l', jobId, load: 1, ...times, actual: { spaces: [...parts] } });
	const lacks = async (parts: Parameters<typeof log>[0]) =>
		((await refusal(log(parts))).details as { path: string }).path;
	expect(await lacks([{ spaceId: binId, amount: 1 }])).toBe('actual.spaces[0].spaceId');
	expect(await lacks([1, 2].map((amount) => ({ spaceId, amount })))).toBe('actual.spaces[1].spaceId');
	expect(await lacks([{ spaceId, amount: 0 }])).toBe('actual.spaces');
	expect(await lacks([{ spaceId, amount: 1, startedAt: '2026-06-20T09:00:00Z' }])).toBe('actual.spaces[0].finishedAt');
	await log([{ spaceId: shedId, amount: 6000 }]);
	expect(await api.records.list({ jobId })).toMatchObject([{ field: 'Shed', amount: 9, space: { amount: 6000 } }]);
});

/** Jobs and logs as they were kept while a job had one closed space. */
function asBefore(sqlite: Sqlite): void {
	const changed = (table: string, change: (details: Record<string, unknown>) => Record<string, unknown>) => {
		const row = sqlite.prepare(`SELECT id, details FROM ${table}`).get() as { id: string; details: string };
		const details = JSON.stringify(change(JSON.parse(row.details) as Record<string, unknown>));
		sqlite.prepare(`UPDATE ${table} SET details = ? WHERE id = ?`).run(details, row.id);
	};
	sqlite.exec('DROP TRIGGER load_log_no_update');
	changed('job', ({ indoors, ...details }) => {
		const { unit, spaces } = indoors as { unit: string; spaces: object[] };
		return { ...details, space: { ...spaces[0], unit } };
	});
	changed('load_log', ({ spaces, ...details }) => ({ ...details, space: (spaces as { amount: number }[])[0]?.amount }));
}

test('books from before a job could treat several closed spaces read on', async () => {
	const { api, book } = testBooks();
	const { spaceId, fogId, wish } = await withStore(api);
	const products = [{ productId: fogId, dosePerM3: 0.0005 }];
	const { id: jobId } = await api.jobs.add({ key: 'j', ...wish, products });
	await api.jobs.logLoad({
		...{ key: 'l', jobId, load: 1, ...times, stopped: { why: 'power cut', mix: 'kept' } },
		actual: { spaces: [{ spaceId, amount: 4000 }] },
	});
	asBefore(book.writer.sqlite);
	const job = await api.jobs.get({ id: jobId });
	expect(job.indoors).toEqual({
		unit: 'm³',
		spaces: [{ spaceId, name: 'Barn 2', kind: 'grain store', amount: 12_000 }],
	});
	expect(job.logs[0]?.spaces).toEqual([{ spaceId, amount: 4000 }]);
	await api.jobs.logLoad({ key: 'l2', jobId, load: 1, ...times });
	expect((await api.records.list({ jobId })).map(({ space }) => space?.amount).sort()).toEqual([4000, 8000]);
});

test('closed spaces are changed, and taken off the list once no job is open in them', async () => {
	const { api } = testBooks();
	const { fogId, spaceId, wish } = await withStore(api);
	const products = [{ productId: fogId, dosePerM3: 0.0005 }];
	const job = await api.jobs.add({ key: 'j', ...wish, products });
	const taken = { key: 'x', id: spaceId, version: 1, why: 'sold' };
	expect((await refusal(api.spaces.remove(taken))).code).toBe('space.jobOpen');
	await api.jobs.remove({ key: 'w', id: job.id, why: 'not needed' });
	const changed = await api.spaces.update({ key: 'u', id: spaceId, version: 1, volumeM3: 11_500 });
	expect(changed).toMatchObject({ volumeM3: 11_500, floorM2: 1500, place: 'Mill Lane 4', version: 2 });
	expect((await refusal(api.spaces.update({ key: 'u2', id: spaceId, version: 1, name: 'B' }))).code).toBe(
		'row.changed',
	);
	expect((await refusal(api.spaces.add({ key: 'space 4', name: 'Barn 2' }))).details).toMatchObject({ path: 'name' });
	expect((await refusal(api.spaces.add({ key: 'space 5', name: 'Bin', latitude: 1 }))).details).toMatchObject({
		path: 'longitude',
	});
	await api.spaces.remove({ ...taken, key: 'y', version: 2 });
	expect(await api.spaces.list({})).toEqual([]);
	expect((await refusal(api.jobs.preview(wish))).code).toBe('not.found');
});

test('a mix for stores is kept as a recipe, and comes back with an earlier job', async () => {
	const { api } = testBooks();
	const { fogId, wish } = await withStore(api);
	const products = [{ productId: fogId, dosePerM3: 0.0005, doseUnit: 'mL/1000 m³' as const }];
	const recipe = await api.recipes.save({ key: 'r', name: 'Fog', kind: 'closed space', spaceUnit: 'm³', products });
	expect(recipe).toMatchObject({ spaceUnit: 'm³', seedUnit: null });
	expect(recipe.products).toMatchObject([{ dosePerHa: null, dose: { value: 500, unit: 'mL/1000 m³' } }]);
	const unsaid = api.recipes.save({ key: 'r2', name: 'Fog', kind: 'closed space', products });
	expect((await refusal(unsaid)).details).toMatchObject({ path: 'spaceUnit' });
	await api.jobs.add({ key: 'j', ...wish, products });
	const { lastJobs } = await api.recipes.list({});
	expect(lastJobs).toMatchObject([{ kind: 'closed space', spaceUnit: 'm³', products: [{ dosePerHa: null }] }]);
});
