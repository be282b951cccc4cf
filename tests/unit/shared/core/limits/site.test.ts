import { expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import { findingSentences } from '../../../../../shared/core/limits/finding-sentences.ts';
import type { GroundCondition, Limit } from '../../../../../shared/core/limits/limit.ts';

const DRAINED: Partial<Limit> = { condition: 'drained land' };
const WINTER = { ...DRAINED, from: '2020-11-01', to: '2021-03-31' };
const yes = [{ condition: 'Drained land', holds: true }];
const no = [{ condition: 'drained land ', holds: false }];

function check(limit: Partial<Limit>, conditions?: GroundCondition[], date = '2026-02-10') {
	const season = { from: '2025-08-01', to: '2026-07-31' };
	const ground = {
		fieldId: 'f',
		crop: ['TRZAW'],
		cropFrom: null,
		cropTo: null,
		season,
		harvestOn: null,
		bufferM: null,
	};
	const limits: Limit[] = [{ kind: 'site', source: 'label', fromMemory: false, ...limit }];
	const product = { productId: 'p', name: 'P', unit: 'L' as const, dosePerHa: 1, actives: [], limits };
	const found = checkLimits({
		...{ ground: { ...ground, growthStage: 25, conditions }, date, sprayVolumeLPerHa: 200 },
		...{ products: [product], history: [], rules: [] },
	}).find(({ kind }) => kind === 'site');
	if (!found) throw new Error('no finding');
	return found;
}

const verdict = (...args: Parameters<typeof check>) => check(...args).verdict;

test('ground of which the condition holds stops it, other ground is in order, and no answer asks', () => {
	expect([verdict(DRAINED, yes), verdict(DRAINED, no), verdict(DRAINED, []), verdict(DRAINED)]).toEqual([
		...['block', 'ok', 'ask', 'ask'],
	]);
	expect(verdict({ ...DRAINED, fromMemory: true }, yes)).toBe('warn');
	expect(verdict({ condition: 'sandy soil' }, yes)).toBe('ask');
	expect(check(WINTER)).toMatchObject({
		limit: 'drained land',
		value: null,
		say: 'Not allowed on this ground from 1 November to 31 March of each year: drained land. Does it hold there?',
	});
});

test('outside its window of the year it says nothing against the ground, over New Year too', () => {
	const on = (date: string) => verdict(WINTER, yes, date);
	expect(['2025-10-31', '2025-11-01', '2026-01-01', '2026-03-31', '2026-04-01'].map(on)).toEqual([
		...['ok', 'block', 'block', 'block', 'ok'],
	]);
	expect(verdict(WINTER, undefined, '2026-06-01')).toBe('ok');
	expect(verdict({ ...DRAINED, from: '2020-11-01' }, yes)).toBe('unknown');
});

test('a sentence about ground names its fields, others stand once for all of them', () => {
	const on = (field: string, kind: string, say: string) => ({ field, kind, say, product: 'Suspension' });
	const findings = [
		on('Mill Bank', 'site', 'Drained.'),
		on('Long Piece', 'site', 'Drained.'),
		on('Mill Bank', 'singleDose', 'Too much.'),
		on('Long Piece', 'singleDose', 'Too much.'),
	];
	expect(findingSentences(findings, { named: true })).toEqual([
		'Suspension on Mill Bank, Long Piece: Drained.',
		'Suspension: Too much.',
	]);
	expect(findingSentences(findings, { named: false })).toEqual(['On Mill Bank, Long Piece: Drained.', 'Too much.']);
});
