import { expect, test } from 'vitest';
import {
	coverInOrder,
	isAllCovered,
	type LogDraft,
	logRequest,
	NOT_SEEN,
} from '../../../../renderer/pages/jobs/log-draft.ts';
import {
	moved,
	newPlan,
	type PlanDraft,
	requestOf,
	shownArea,
	stillNeeded,
} from '../../../../renderer/pages/jobs/plan-draft.ts';
import type { FieldRow } from '../../../../shared/contract/fields.ts';
import { jobsContract } from '../../../../shared/contract/jobs.ts';
import { Sprayer } from '../../../../shared/contract/sprayers.ts';

const sprayer = Sprayer.parse({ id: 's', name: 'Trailed', capacityL: 4000, minimumL: 400, version: 1 });

function field(id: string, loadForHa: number | null): FieldRow {
	return {
		id,
		name: `Field ${id}`,
		code: null,
		measuredHa: loadForHa,
		sigmaHa: null,
		mappedHa: null,
		loadForHa,
		loadForBasis: null,
		perimeterM: null,
		differenceHa: null,
		edgeStripM: null,
		withinTolerance: null,
		version: 1,
	};
}

const rows = [field('1', 12.374512), field('2', 8.7), field('3', null)];
const plan = newPlan({ sprayers: [sprayer], lastSprayer: undefined, operator: 'A. Marsh', date: '2026-04-15' });

test('an empty plan says what is still needed, in the order of the page', () => {
	expect(stillNeeded(plan, rows)).toEqual(['the fields to spray', 'the products', 'the spray volume']);
	const started: PlanDraft = {
		...plan,
		fields: [{ fieldId: '3', areaHa: 'register' }],
		products: [{ productId: 'a', dose: null, unit: 'L/ha' }],
		sprayerId: null,
		sprayVolumeLPerHa: 150,
	};
	expect(stillNeeded(started, rows)).toEqual(['an area for Field 3', 'a dose for each product', 'the sprayer']);
	expect(requestOf(started, rows)).toBe(null);
});

test('a plan asks for the register’s own area, and sends only what was entered', () => {
	const draft: PlanDraft = {
		...plan,
		fields: [
			{ fieldId: '1', areaHa: 'register' },
			{ fieldId: '2', areaHa: 5 },
		],
		products: [
			{ productId: 'a', dose: 1250, unit: 'mL/ha' },
			{ productId: 'b', dose: 0.1, unit: '% v/v' },
		],
		sprayVolumeLPerHa: 150,
		reason: ' septoria ',
		pressureBar: 2.5,
	};
	expect(draft.fields.map((line, index) => shownArea(line, rows[index]))).toEqual([12.37, 5]);
	const request = requestOf(draft, rows);
	expect(request).toEqual({
		sprayerId: 's',
		sprayVolumeLPerHa: 150,
		fields: [{ fieldId: '1' }, { fieldId: '2', areaHa: 5 }],
		products: [
			{ productId: 'a', dosePerHa: 1.25, doseUnit: 'mL/ha' },
			{ productId: 'b', dosePercent: 0.1, doseUnit: '% v/v' },
		],
		date: '2026-04-15',
		operator: 'A. Marsh',
		reason: 'septoria',
		pressureBar: 2.5,
	});
	expect(jobsContract.preview['~orpc'].inputSchema?.safeParse(request).success).toBe(true);
});

test('a field is moved in the order it is sprayed, and stays at the ends', () => {
	expect([moved(['a', 'b', 'c'], 2, -1), moved(['a', 'b', 'c'], 0, -1), moved(['a', 'b', 'c'], 2, 1)]).toEqual([
		['a', 'c', 'b'],
		['a', 'b', 'c'],
		['a', 'b', 'c'],
	]);
});

const planned = [
	{ fieldId: '1', areaHa: 12.374512 },
	{ fieldId: '2', areaHa: 6.3 },
];
const log: LogDraft = {
	date: '2026-04-15',
	began: '07:10',
	ended: '08:20',
	operator: 'A. Marsh ',
	amounts: 'as planned',
	poured: { a: 33.33 },
	batches: {},
	meteredL: null,
	quantity: null,
	spaces: [],
	covered: planned.map(({ fieldId }) => ({ fieldId, areaHa: 'plan', began: '', ended: '', weather: NOT_SEEN })),
	ownTimes: false,
	stopped: false,
	why: '',
	mixLeftL: null,
	mix: 'kept',
	...NOT_SEEN,
	windHeightM: 2,
	rinsed: null,
	flowering: '',
	told: '',
	margins: [],
	note: '',
};
const of = { jobId: 'j', load: 1, allowShort: false };
const ordinary = {
	...of,
	startedAt: '2026-04-15T07:10',
	finishedAt: '2026-04-15T08:20',
	operator: 'A. Marsh',
};

test('an ordinary load is sent without amounts, ground or weather: the plan stands', () => {
	expect(logRequest(log, { ground: planned, spaces: [] }, of)).toEqual(ordinary);
});

test('closed spaces are sent where one differs from the plan, each with its own times', () => {
	const spaces = [
		{ spaceId: 'a', amount: 1200.5 },
		{ spaceId: 'b', amount: 300 },
	];
	const own = { began: '07:10', ended: '07:50' };
	const lines = spaces.map(({ spaceId }) => ({ spaceId, amount: 'plan' as const, began: '', ended: '' }));
	const request = (draft: Partial<LogDraft>) =>
		logRequest({ ...log, covered: [], spaces: lines, ...draft }, { ground: [], spaces }, of).actual;
	expect(request({})).toBeUndefined();
	const [first, second] = lines;
	if (!first || !second) throw new Error('two spaces');
	expect(request({ spaces: [first, { ...second, amount: 0 }] })).toEqual({
		spaces: [
			{ spaceId: 'a', amount: 1200.5 },
			{ spaceId: 'b', amount: 0 },
		],
	});
	expect(request({ ownTimes: true, spaces: [{ ...first, ...own }, second] })?.spaces).toEqual([
		{ spaceId: 'a', amount: 1200.5, startedAt: '2026-04-15T07:10', finishedAt: '2026-04-15T07:50' },
		{ spaceId: 'b', amount: 300 },
	]);
});

test('what differs is sent whole: amounts, ground to the last digit where planned, the stop, the weather', () => {
	const draft: LogDraft = {
		...log,
		amounts: 'entered',
		batches: { a: 'A-17; B-04 ,' },
		meteredL: 3950,
		covered: [
			{ fieldId: '1', areaHa: 'plan', began: '07:10', ended: '07:50', weather: NOT_SEEN },
			{ fieldId: '2', areaHa: 2, began: '07:50', ended: '08:20', weather: { ...NOT_SEEN, windSpeedKmh: 14 } },
		],
		ownTimes: true,
		stopped: true,
		why: 'rain',
		mixLeftL: 640,
		flowering: ' weeds ',
		told: 'beekeeper at Mill',
		temperatureC: 12,
		windSpeedKmh: 9,
		windDirection: 'SW',
	};
	const request = logRequest(draft, { ground: planned, spaces: [] }, of);
	expect(request).toEqual({
		...ordinary,
		actual: {
			products: [{ productId: 'a', amount: 33.33, batches: ['A-17', 'B-04'] }],
			meteredL: 3950,
			fields: [
				{ fieldId: '1', areaHa: 12.374512, startedAt: '2026-04-15T07:10', finishedAt: '2026-04-15T07:50' },
				{
					fieldId: '2',
					areaHa: 2,
					startedAt: '2026-04-15T07:50',
					finishedAt: '2026-04-15T08:20',
					weather: { temperatureC: 12, windSpeedKmh: 14, windDirection: 'SW', windHeightM: 2 },
				},
			],
		},
		stopped: { why: 'rain', mix: 'kept', mixLeftL: 640 },
		weather: { temperatureC: 12, windSpeedKmh: 9, windDirection: 'SW', windHeightM: 2 },
		flowering: 'weeds',
		told: 'beekeeper at Mill',
	});
	expect(jobsContract.logLoad['~orpc'].inputSchema?.safeParse({ key: 'k', ...request }).success).toBe(true);
	expect([isAllCovered(log.covered, planned), isAllCovered(draft.covered, planned)]).toEqual([true, false]);
});

test('another way to bring it out asks for what it needs, and sends that', () => {
	const base: PlanDraft = {
		...plan,
		fields: [{ fieldId: '1', areaHa: 5 }],
		products: [],
		sprayerId: 's',
		date: '2027-04-18',
	};
	const inFertiliser: PlanDraft = { ...base, kind: 'spray in liquid fertiliser', sprayVolumeLPerHa: 200 };
	expect(stillNeeded(inFertiliser, rows)).toEqual(['the products', 'the fertiliser']);
	const carrier = { from: 'bulk' as const, productId: null, name: ' N 28 ', densityKgPerL: 1.28, lPerHa: null };
	const seed = {
		amount: null,
		unit: 'kg' as const,
		crop: '',
		eppoCode: '',
		lot: '',
		slurry: null,
		slurryUnit: 'mL/100 kg' as const,
	};
	const treated: PlanDraft = { ...base, kind: 'seed treatment', fields: [], sprayerId: null };
	expect(stillNeeded(treated, rows)).toEqual([
		'the products',
		'how much seed',
		'the crop of the seed',
		'the seed treater',
	]);
	expect(stillNeeded({ ...base, kind: 'granules', fields: [] }, rows)).toEqual([
		'the fields to spread on',
		'the products',
	]);
	const products: PlanDraft['products'] = [{ productId: 'p', dose: 0.2, unit: 'L/100 kg' }];
	const wholeSeed = { ...seed, amount: 500, crop: 'Wheat', lot: 'A', slurry: 800 };
	expect(requestOf({ ...treated, sprayerId: 't', seed: wholeSeed, products }, rows)).toMatchObject({
		kind: 'seed treatment',
		seed: { amount: 500, unit: 'kg', crop: 'Wheat', lot: 'A', slurry: { value: 800, unit: 'mL/100 kg' } },
		products: [{ productId: 'p', dosePer100Kg: 0.2, doseUnit: 'L/100 kg' }],
		fields: [],
	});
	const perHa: PlanDraft['products'] = [{ productId: 'p', dose: 2, unit: 'L/ha' }];
	expect(requestOf({ ...inFertiliser, carrier, products: perHa }, rows)).toMatchObject({
		kind: 'spray in liquid fertiliser',
		sprayVolumeLPerHa: 200,
		carrier: { name: 'N 28', densityKgPerL: 1.28 },
	});
	const spread = requestOf({ ...base, kind: 'granules', sprayVolumeLPerHa: 200, products: perHa }, rows);
	expect([spread?.kind, spread?.sprayVolumeLPerHa]).toEqual(['granules', undefined]);
});

test('ground read off in one figure fills the fields in their order; whole fields keep the figure of the plan', () => {
	const planned = [
		{ fieldId: 'a', areaHa: 9.2871 },
		{ fieldId: 'b', areaHa: 18.3 },
		{ fieldId: 'c', areaHa: 2 },
	];
	const lines = planned.map(({ fieldId }) => ({
		fieldId,
		areaHa: 'plan' as const,
		began: '',
		ended: '',
		weather: NOT_SEEN,
	}));
	const areas = (totalHa: number) => coverInOrder(lines, planned, totalHa).map(({ areaHa }) => areaHa);
	expect(areas(20)).toEqual(['plan', 10.71, 0]);
	expect(areas(5)).toEqual([5, 0, 0]);
	expect(areas(31)).toEqual(['plan', 'plan', 3.41]);
});
