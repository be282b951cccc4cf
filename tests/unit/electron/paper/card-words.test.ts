import { expect, test } from 'vitest';
import { marksHead, marksOf } from '../../../../renderer/paper/card-marks.ts';
import {
	bufferOn,
	FIRST_CHECKS,
	firstChecks,
	labelTexts,
	limitLines,
	poursOf,
} from '../../../../renderer/paper/card-words.ts';
import { sampleCard } from './sample-card.ts';

const line = sampleCard({ products: 1 }).order[0] ?? expect.fail('a product');

test('a product is said by what is emptied, poured whole and measured', () => {
	const fullPacks = [
		{ size: 10, count: 2 },
		{ size: 0.25, count: 24 },
	];
	expect(poursOf({ ...line, unit: 'L', fromOpened: 2.4, fullPacks, measured: 1.25 })).toEqual([
		{ text: 'empty the opened 2.4 L', boxes: 1, tally: false },
		{ text: '2 × 10 L', boxes: 2, tally: false },
		{ text: '24 × 0.25 L', boxes: 1, tally: true },
		{ text: 'measure 1.25 L', boxes: 1, tally: false },
	]);
});

test('the meter is read before the first container, at the stop and at the end', () => {
	const card = sampleCard({ products: 4, pause: true });
	expect(marksOf(card).map(({ reading, act }) => `${reading} ${act}`)).toEqual([
		'1500 open the first container',
		expect.stringMatching(
			/^19\d\d stop for \d+ min(?: \d+ s)? while containers are handled, then open the inlet again$/,
		),
		`${Math.round(card.plan.waterL)} shut the meter: all water is in`,
	]);
});

test('a stop at the first container is one mark', () => {
	const card = sampleCard({ products: 8 });
	expect(marksOf(card)[0]?.act).toMatch(/^open the first container here; stop for /);
	expect(marksOf(card)).toHaveLength(2);
});

test('with a valve that runs on, the stop at the first container is still one mark, and marks never go back', () => {
	const card = sampleCard({ products: 8 });
	const fill = card.fill ?? expect.fail('a fill');
	const runsOn = fill.meterStops.map((stop) => ({ ...stop, atMeterL: stop.atMeterL - 15, tankL: stop.tankL - 15 }));
	const marks = marksOf({ ...card, fill: { ...fill, meterStops: runsOn } });
	expect(marks.map(({ reading }) => Number(reading))).toEqual(runsOn.map(({ atMeterL }) => atMeterL));
	expect(marks[0]?.act).toMatch(/^open the first container here; stop for /);
});

test('a stop too short to make is no mark', () => {
	const card = sampleCard({ products: 4, pause: true });
	const fill = card.fill ?? expect.fail('a fill');
	expect(marksOf({ ...card, fill: { ...fill, pausedS: 4 } }).map(({ act }) => act)).toEqual([
		'open the first container',
		'shut the meter: all water is in',
	]);
});

test('mix carried in is not metered', () => {
	const card = sampleCard({ products: 2 });
	const carried = { ...card, plan: { ...card.plan, carriedInL: 300 } };
	expect(marksOf(carried)[0]).toEqual({
		reading: '1700',
		act: 'open the first container',
		level: 'Tank scale without a meter: 2,000 L.',
	});
	const { totalL } = card.plan;
	const all = { ...carried, fill: null, plan: { ...carried.plan, carriedInL: totalL, newMixL: 0, waterL: 0 } };
	expect(marksOf(all)).toEqual([
		{ reading: String(Math.round(totalL)), act: 'of this mix in the tank: nothing to fill', level: null },
	]);
});

test('a load that is all left from the one before is checked for what it needs, not for filling', () => {
	const card = sampleCard({ products: 2 });
	const { totalL } = card.plan;
	expect(firstChecks(card)).toBe(FIRST_CHECKS);
	// A part carried in leaves all of it to be done for the rest.
	expect(firstChecks({ ...card, plan: { ...card.plan, carriedInL: 300 } })).toBe(FIRST_CHECKS);
	const all = { ...card, fill: null, plan: { ...card.plan, carriedInL: totalL, newMixL: 0, waterL: 0 } };
	expect(firstChecks(all)).toEqual(['area known', 'mix stirred up again']);
	const neat = { ...all, kind: 'neat liquid' as const };
	expect(firstChecks(neat)).toEqual(['area known', 'hoses and seals fit for fertiliser', 'rinse water at hand']);
	expect([marksHead(neat), marksOf(neat)]).toEqual([
		'Left from the load before, in litres',
		[{ reading: String(Math.round(totalL)), act: 'of this product in the tank: nothing to fill', level: null }],
	]);
	const hopper = { ...card.plan, totalL: 0, newMixL: 0, hopperKg: 120, inHopperKg: 120 };
	const granules = { ...card, kind: 'granules' as const, plan: hopper };
	expect(firstChecks(granules)).toEqual(['area known', 'calibrated with this product', 'spreading width set']);
	expect(marksOf(granules)).toEqual([
		{ reading: '120', unit: 'kg', act: 'in the hopper already: nothing to fill', level: null },
	]);
	expect(firstChecks({ ...granules, plan: { ...hopper, inHopperKg: 20 } })).toContain('bags counted');
});

test('without a fill plan the water of the load stands alone', () => {
	const card = { ...sampleCard({ products: 2 }), fill: null };
	expect(marksOf(card)).toEqual([
		{ reading: String(Math.round(card.plan.waterL)), act: 'water in all', level: 'The tank then holds 4,000 L.' },
	]);
});

test('the widest buffer stands, of the job and of the labels', () => {
	const card = sampleCard({ fields: 2 });
	expect([bufferOn(card, 'f0'), bufferOn(card, 'f1'), bufferOn({ ...card, bufferM: null }, 'f1')]).toEqual([
		6,
		3,
		null,
	]);
});

test('the same protection is said once, with the steps it belongs to', () => {
	expect(labelTexts(sampleCard({ products: 3 }).order, 'protection')).toEqual([
		{
			steps: '1, 2',
			names: 'Softwater Salt, Alder 500',
			text: 'Gloves, coverall, face shield; respirator for the dust.',
		},
		{ steps: '3', names: 'Birch', text: 'Gloves, coverall, face shield.' },
	]);
});

test('limits that were met are not mentioned, limits nobody entered are', () => {
	expect(limitLines(sampleCard({}))).toEqual([
		'Birch: harvest no sooner than 35 days after, wind ≤ 12 km/h.',
		'1 limit not on the books, so not checked: see the label.',
	]);
});
