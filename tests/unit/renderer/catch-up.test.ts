import { expect, test } from 'vitest';
import {
	cardLog,
	emptyRow,
	type FoundCard,
	farFromPlan,
	inOrderOfTime,
	marginsOf,
	troubleOf,
	unanswered,
	unconfirmed,
	withDefaults,
} from '../../../renderer/pages/catch-up/card-row.ts';
import { NO_MARGIN } from '../../../renderer/parts/margin-rows.ts';
import { jobsContract } from '../../../shared/contract/jobs.ts';

const card: FoundCard = {
	kind: 'spray in water',
	jobId: 'j',
	load: 1,
	loads: 2,
	job: 'Wheat, T1',
	ends: 'ends with Rookery',
	state: 'to do',
	date: '2026-04-15',
	operator: 'A. Marsh',
	waterL: 1960,
	asksFlowering: false,
	distances: [],
	fields: [{ fieldId: 'f', name: 'Rookery' }],
	margins: [],
	products: [
		{ productId: 'a', name: 'Suspension', unit: 'L', amount: 20, named: [] },
		{ productId: 'b', name: 'Granule', unit: 'kg', amount: 0.4, named: [] },
	],
};
const row = withDefaults({ ...emptyRow('k'), code: 'AAAAA-1', began: '22:50', ended: '00:10' }, card);
const bare = { jobId: 'j', load: 1, operator: 'A. Marsh', allowShort: false };
const span = { startedAt: '2026-04-15T22:50', finishedAt: '2026-04-16T00:10' };

test('an amount far from the plan is shown again, beside the planned one', () => {
	expect(farFromPlan({ card, amounts: { a: 21.4, b: null } })).toEqual([]);
	expect(farFromPlan({ card, amounts: { a: 40, b: 0.04 } })).toEqual([
		'Suspension 40.0 L, the plan says 20.0 L',
		'Granule 0.04 kg, the plan says 0.4 kg',
	]);
});

test('a card with its times alone is as planned and marked so; over midnight it ends the next day', () => {
	expect(cardLog(row, card)).toEqual({ ...bare, ...span });
	expect(unconfirmed(row)).toEqual(['Suspension', 'Granule']);
});

test('amounts that were ticked off are sent as entered; one that was written over wins; a batch alone confirms nothing', () => {
	const entered = { ...row, amounts: { a: 20.4 }, batches: { b: 'G-1, G-2' }, meteredL: 1970 };
	expect([cardLog(entered, card).actual, unconfirmed(entered)]).toEqual([
		{
			products: [
				{ productId: 'a', amount: 20.4 },
				{ productId: 'b', batches: ['G-1', 'G-2'] },
			],
			meteredL: 1970,
		},
		['Granule'],
	]);
	const ticked = { ...entered, ticked: true };
	expect([cardLog(ticked, card).actual?.products, unconfirmed(ticked)]).toEqual([
		[
			{ productId: 'a', amount: 20.4 },
			{ productId: 'b', amount: 0.4, batches: ['G-1', 'G-2'] },
		],
		[],
	]);
	const seen = { ...ticked, flowering: 'nothing' };
	expect([cardLog(ticked, card).flowering, cardLog(seen, card).flowering]).toEqual([undefined, 'nothing']);
	const wire = jobsContract.logLoad['~orpc'].inputSchema?.safeParse({ key: 'k', ...cardLog(seen, card) });
	expect(wire?.success).toBe(true);
});

test('a row says what keeps it from being logged', () => {
	const say = (state: FoundCard['state']) => troubleOf({ ...row, card: { ...card, state } }, []);
	expect([troubleOf(row, []), say('broken off')]).toEqual([null, null]);
	expect(troubleOf(row, [{ ...row, key: 'other' }])).toBe('This card stands above already.');
	expect(say('logged')).toMatch(/^Load 1 of Wheat, T1 is logged already/);
	expect(say('closed')).toBe('Wheat, T1 is closed: nothing more is logged for it.');
	expect(troubleOf({ ...row, ended: '', operator: ' ' }, [])).toBe('Still to enter: when it ended, the operator.');
});

test('what the plan says never writes over what was keyed, and cards go in order of time', () => {
	const keyed = withDefaults({ ...emptyRow('k'), date: '2026-04-16', operator: 'J. Wren' }, card);
	expect([keyed.date, keyed.operator]).toEqual(['2026-04-16', 'J. Wren']);
	const rows = [
		{ ...row, key: 'late' },
		{ ...row, key: 'early', began: '07:10' },
		{ ...row, key: 'day before', date: '2026-04-14' },
	];
	expect(inOrderOfTime(rows).map(({ key }) => key)).toEqual(['day before', 'early', 'late']);
});

test('margins are asked of a card whose labels ask, once a job, and go with its log as far as they lie on its ground', () => {
	const strip = { ...NO_MARGIN, fieldId: 'f', margin: 'strip', keptM: 6 };
	const asked = { ...card, distances: ['Keep 5 m from water.'], margins: [strip] };
	const first = { ...row, card: asked };
	expect([marginsOf(first, [first]), cardLog(first, asked, [strip]).margins]).toEqual([[strip], undefined]);
	expect([unanswered(first, [strip]), unanswered(row, [])]).toEqual([true, false]);
	const brook = { ...NO_MARGIN, margin: 'brook', water: 'wet', keptM: 5, said: true } as const;
	const elsewhere = { ...brook, fieldId: 'g' };
	const keyed = { ...first, margins: [brook, elsewhere] };
	const next = { ...first, key: 'next', card: { ...asked, load: 2 } };
	const other = { ...next, key: 'other', card: { ...asked, jobId: 'other' } };
	const rows = [keyed, other, next];
	expect(rows.map((each) => marginsOf(each, rows))).toEqual([[brook, elsewhere], [strip], [brook]]);
	expect(unanswered(next, marginsOf(next, rows))).toBe(false);
	const log = cardLog(next, asked, marginsOf(next, rows));
	expect(log.margins).toEqual([{ margin: 'brook', water: 'wet', keptM: 5 }]);
	expect(jobsContract.logLoad['~orpc'].inputSchema?.safeParse({ key: 'k', ...log }).success).toBe(true);
	expect(troubleOf(keyed, [], [{ ...brook, margin: ' ', water: null, keptM: null }])).toBe(
		'Still to enter: which margin, what water is there, the metres kept.',
	);
	expect(troubleOf(keyed, [], [{ ...brook, water: 'none', keptM: null }])).toBeNull();
});
