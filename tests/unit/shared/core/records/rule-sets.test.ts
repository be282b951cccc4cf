import { describe, expect, test } from 'vitest';
import type { Limit } from '../../../../../shared/core/limits/limit.ts';
import {
	type Confined,
	confinedBy,
	missingItems,
	type RecordFacts,
	ruleSets,
	type UseType,
} from '../../../../../shared/core/records/rule-sets.ts';

const whole: RecordFacts = {
	'use type': 'treatment of surfaces',
	'product name': 'Suspension',
	'authorisation number': 'A-1',
	date: '2026-04-15',
	'start time': 1,
	dose: 1,
	field: 'Long Piece',
	'treated area': 1,
	crop: 'Winter wheat',
	'EPPO code': 'TRZAW',
	'growth stage': '32',
	reason: 'septoria',
	operator: 'A. Marsh',
	'certificate number': 'C-1',
	wind: 9,
	'temperature and humidity': 12,
	amount: 1,
};

describe('what a rule set asks for', () => {
	test('a whole record lacks nothing, an empty one every required item', () => {
		for (const { id, items } of ruleSets) {
			expect(missingItems(whole, id, ['growth stage', 'time of day'])).toEqual([]);
			expect(missingItems({}, id)).toEqual(items.filter(({ required }) => required).map(({ item }) => item));
		}
	});
	test('nothing is required from memory', () => {
		const remembered = ruleSets.flatMap(({ items }) => items).filter(({ fromMemory }) => fromMemory);
		expect(remembered.length).toBeGreaterThan(0);
		expect(remembered.filter(({ required, when }) => required || when !== null)).toEqual([]);
	});
	/** Implementing Regulation (EU) 2023/564, Annex: start time and stage only where the authorisation limits them. */
	test('the EU set asks for time and stage where the authorisation confines them', () => {
		const without = { ...whole, 'start time': null, 'growth stage': '' };
		const asked = ([[], ['time of day'], ['growth stage']] as const).map((confined) =>
			missingItems(without, 'eu-2023-564', confined),
		);
		expect(asked).toEqual([[], ['start time'], ['growth stage']]);
	});
	/** 7 CFR 110.3(a)(1)–(5): the nine elements. */
	test('the US set has the nine elements', () => {
		const us = ruleSets.find(({ id }) => id === 'us-7cfr110');
		expect(us?.items.filter(({ required }) => required).map(({ item, source }) => [source.at(-2), item])).toEqual([
			['1', 'product name'],
			['1', 'authorisation number'],
			['2', 'amount'],
			['3', 'field'],
			['3', 'treated area'],
			['3', 'crop'],
			['4', 'date'],
			['5', 'operator'],
			['5', 'certificate number'],
		]);
	});
});

test('limits on stage or time of day confine a use, a window of the year alone does not', () => {
	const label = { source: 'label', fromMemory: false };
	const confined = (limit: Partial<Limit> & Pick<Limit, 'kind'>) => confinedBy([{ ...label, ...limit }]);
	expect([
		confined({ kind: 'stage', max: 39 }),
		confined({ kind: 'stage', from: '2026-03-01', to: '2026-09-30' }),
		confined({ kind: 'timeOfDay', min: 20 }),
		confined({ kind: 'singleDose', max: 1 }),
		confined({ kind: 'flowering' }),
		confined({ kind: 'flowering', min: 20, max: 6 }),
	]).toEqual([['growth stage'], [], ['time of day'], [], ['use in flower'], ['time of day', 'use in flower']]);
});

/** Scottish Code of Practice, Annex F, has crop or weeds in flower among what a sheet holds; a label that asks makes it due. */
test('what was in flower is missing where a label keeps off flowers, on ground alone', () => {
	const uk = (facts: RecordFacts, ...rest: [readonly Confined[], UseType?]) =>
		missingItems({ ...whole, ...facts }, 'uk-code', ...rest).filter((item) => item === 'in flower');
	expect([
		uk({ 'in flower': null }, []),
		uk({ 'in flower': null }, ['use in flower']),
		uk({ 'in flower': 'nothing' }, ['use in flower']),
		uk({ 'in flower': null }, ['use in flower'], 'closed space'),
	]).toEqual([[], ['in flower'], [], []]);
});
