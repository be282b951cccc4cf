import { expect, test } from 'vitest';
import {
	brokenOffWords,
	fillWords,
	leftWithoutLoad,
	loadState,
	nextLoad,
	restOfLoad,
	whereLoadEnds,
	whyRecommended,
} from '../../../../renderer/pages/jobs/job-words.ts';
import { unitsIn } from '../../../../renderer/units.ts';
import type { Job, LoadLog } from '../../../../shared/contract/jobs.ts';
import type { Alternative, PlannedLoad } from '../../../../shared/contract/jobs-plan.ts';
import { sampleCard } from '../../electron/paper/sample-card.ts';

const part = (field: string, areaHa: number, finishesField: boolean) => ({
	fieldId: field.toLowerCase(),
	field,
	areaHa,
	finishesField,
});

function load(number: number, ground: PlannedLoad['ground']): PlannedLoad {
	return {
		load: number,
		areaHa: ground.reduce((sum, { areaHa }) => sum + areaHa, 0),
		newMixL: 2000,
		carriedInL: 0,
		totalL: 2000,
		waterL: 1980,
		displacementL: 20,
		containersToHandle: 2,
		measuredPours: 0,
		ground,
		products: [
			{
				productId: 'a',
				name: 'A',
				formulation: 'SC',
				unit: 'L',
				amount: 20,
				fromOpened: 0,
				fullPacks: [],
				measured: 20,
			},
		],
	};
}

/** 20 ha a load over fields of 12, 35 and 13 ha. */
const loads = [
	load(1, [part('Rookery', 12, true), part('Long Piece', 8, false)]),
	load(2, [part('Long Piece', 20, false)]),
	load(3, [part('Long Piece', 7, true), part('Mill Bank', 13, true)]),
];

function log(number: number, state: LoadLog['state'], more: Partial<LoadLog> = {}): LoadLog {
	return {
		id: `${number} ${state}`,
		load: number,
		state,
		startedAt: '2026-04-15T07:00:00+02:00',
		finishedAt: '2026-04-15T08:00:00+02:00',
		operator: 'A. Marsh',
		meteredL: null,
		confirmed: false,
		products: [{ productId: 'a', amount: 20 }],
		fields: [],
		stopped: null,
		note: null,
		...more,
	};
}

test('a load ends with a field, or so far into it, counted from where the field was begun', () => {
	expect([1, 2, 3, 4].map((number) => whereLoadEnds(loads, number, unitsIn.metric))).toEqual([
		'ends 8.00 ha into Long Piece',
		'ends 28.00 ha into Long Piece',
		'ends with Mill Bank',
		'goes nowhere',
	]);
});

test('a load is over when it was logged in full, or broken off with the mix disposed of', () => {
	const stopped = (mix: 'kept' | 'disposed') => ({ stopped: { why: 'rain', mixLeftL: 800, mix } });
	const logs = [
		log(1, 'complete'),
		log(2, 'stopped', stopped('kept')),
		log(3, 'stopped', stopped('disposed')),
		log(4, 'reversed'),
	];
	expect([1, 2, 3, 4].map((number) => loadState(logs, number))).toEqual(['logged', 'broken off', 'logged', 'to do']);
	expect(nextLoad({ plan: { loads } as unknown as Job['plan'], logs })).toBe(2);
	expect(nextLoad({ plan: { loads: [loads[0]] } as unknown as Job['plan'], logs })).toBe(null);
});

test('after a stop the rest of the ground is left, and nothing more goes into the tank', () => {
	const before = [
		log(1, 'stopped', {
			fields: [
				{ fieldId: 'rookery', areaHa: 12 },
				{ fieldId: 'long piece', areaHa: 2.5 },
			],
		}),
	];
	expect(restOfLoad(loads[0] as PlannedLoad, before)).toEqual({
		spaces: [],
		ground: [{ fieldId: 'long piece', field: 'Long Piece', areaHa: 5.5 }],
		products: [{ productId: 'a', before: 20, amount: 0 }],
	});
});

test('what a load broken off leaves is told: to go on with, or in no load where its mix is gone', () => {
	const covered = [
		{ fieldId: 'rookery', areaHa: 12 },
		{ fieldId: 'long piece', areaHa: 2.5 },
	];
	const stopped = (mix: 'kept' | 'disposed') => ({
		...{ plan: { loads }, kind: 'spray in water', seed: null, indoors: null },
		fields: [
			{ fieldId: 'rookery', areaHa: 12, treatedHa: 12 },
			{ fieldId: 'long piece', areaHa: 35, treatedHa: 2.5 },
			{ fieldId: 'mill bank', areaHa: 13, treatedHa: 0 },
		],
		logs: [log(1, 'stopped', { fields: covered, stopped: { why: 'rain', mixLeftL: 825, mix } })],
	});
	const first = loads[0] as PlannedLoad;
	expect(brokenOffWords(stopped('kept') as unknown as Job, first, unitsIn.metric)).toEqual({
		say: 'Load 1 was broken off: 5.50 ha to go.',
		under: 'Rain. 825 L of mix were kept. What went in so far stands under “Logged”.',
	});
	expect(leftWithoutLoad(stopped('kept') as unknown as Job, unitsIn.metric)).toBe(null);
	expect(brokenOffWords(stopped('disposed') as unknown as Job, first, unitsIn.metric)).toEqual({
		say: 'Load 1 was broken off after 14.50 ha.',
		under: 'Rain. 825 L of mix were disposed of. What went in stands under “Logged”.',
	});
	expect(leftWithoutLoad(stopped('disposed') as unknown as Job, unitsIn.metric)).toBe('5.50 ha');
	// Planned again, all that is left of the job stands in loads to come.
	const planned = { ...stopped('disposed'), plan: { loads: [...loads, load(4, [part('Long Piece', 5.5, true)])] } };
	expect(leftWithoutLoad(planned as unknown as Job, unitsIn.metric)).toBe(null);
});

test('a way of splitting is recommended for its fewer measured pours, else for being the plainest', () => {
	const way = (strategy: Alternative['strategy'], measuredPours: number): Alternative => ({
		strategy,
		loads: 3,
		measuredPours,
		containersOpened: 9,
		lastLoadL: 900,
	});
	expect(whyRecommended('whole containers', [way('full', 6), way('even', 5), way('whole containers', 2)])).toBe(
		'Recommended: 2 measured pours instead of 5 or more. Each one is exposure and a chance to be wrong.',
	);
	expect(whyRecommended('full', [way('full', 2), way('even', 2)])).toBe(
		'Recommended: no other way needs fewer than 2 measured pours, and this is the plainest.',
	);
});

test('a fill is told in words: what fits, where to stop, when the last is done', () => {
	const card = sampleCard({});
	const event = (atS: number, what: string, container: number) => ({ atS, what, product: 'A', container, tankL: 900 });
	const fill = {
		fits: true,
		containersThatFit: 3,
		fitsWithPause: true,
		pauseAtL: null,
		pausedS: 0,
		meterStops: [],
		finishS: 400,
		events: [1, 2, 3].flatMap((can) => [
			event(can * 60, 'container opened', can),
			event(can * 60 + 48, 'container done', can),
		]),
		warnings: [],
	};
	expect(fillWords({ ...card, load: 2, startL: 470, fill }, unitsIn.metric)).toEqual({
		say: 'Load 2: all 3 containers fit while it fills.',
		under: 'Open the first at 470 L. The last is done 2 min 52 s before the tank is full.',
	});
	const paused = { ...fill, fits: false, containersThatFit: 1, pauseAtL: 1900, pausedS: 75 };
	expect(fillWords({ ...card, load: 2, startL: 470, fill: paused }, unitsIn.metric)).toEqual({
		say: 'Load 2: 1 of 3 containers fits; stop at 1,900 L.',
		under: 'Open the first at 470 L. Shut the inlet at 1,900 L for 1 min 20 s and go on pouring; then all of them fit.',
	});
	expect(
		fillWords({ ...card, load: 2, startL: 1900, fill: { ...paused, containersThatFit: 3 } }, unitsIn.metric),
	).toEqual({
		say: 'Load 2: all containers go in, but must disperse; stop at 1,900 L.',
		under:
			'Shut the inlet at 1,900 L for 1 min 20 s and open the first there; then it disperses before the tank is full.',
	});
	// Nobody shuts an inlet for a second.
	expect(fillWords({ ...card, load: 2, startL: 470, fill: { ...paused, pausedS: 1 } }, unitsIn.metric)).toEqual({
		say: 'Load 2: all 3 containers just fit while it fills.',
		under: 'Open the first at 470 L. The last is done as the tank comes full: lose no time.',
	});
	expect(fillWords({ ...card, fill: null }, unitsIn.metric)).toBe(null);
	const carried = { ...card.plan, areaHa: 10.5, totalL: 1575, carriedInL: 1575, newMixL: 0 };
	expect(fillWords({ ...card, load: 3, fill: null, plan: carried }, unitsIn.metric)).toEqual({
		say: 'Load 3: nothing to fill.',
		under: 'The 1,575 L of mix left in the tank go onto 10.50 ha.',
	});
});
