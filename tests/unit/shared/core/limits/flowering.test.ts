import { expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import { inFlowerOver, saysNothing } from '../../../../../shared/core/limits/flowering.ts';
import type { Limit, PlannedApplication } from '../../../../../shared/core/limits/limit.ts';

type Given = Pick<PlannedApplication, 'inFlower' | 'startHour'> & { growthStage?: string | number };
const NIGHT = { min: 20.5, max: 6 };

function check(limit: Partial<Limit>, { growthStage = 32, ...seen }: Given) {
	const season = { from: '2025-08-01', to: '2026-07-31' };
	const ground = {
		fieldId: 'f',
		crop: ['BRSNW'],
		cropFrom: null,
		cropTo: null,
		season,
		harvestOn: null,
		bufferM: null,
	};
	const limits: Limit[] = [{ kind: 'flowering', source: 'label', fromMemory: false, ...limit }];
	const product = { productId: 'p', name: 'P', unit: 'L' as const, dosePerHa: 1, actives: [], limits };
	const found = checkLimits({
		...{ ground: { ...ground, growthStage }, date: '2026-05-01', sprayVolumeLPerHa: 200, ...seen },
		...{ products: [product], history: [], rules: [] },
	}).find(({ kind }) => kind === 'flowering');
	if (!found) throw new Error('no finding');
	return found;
}

const verdict = (...args: Parameters<typeof check>) => check(...args).verdict;

/** BBCH Monograph: principal stage 6 is flowering, 61 its beginning, 69 its end. */
test('the stage of a flowering crop stops it, any other stage asks, and so does one of three digits', () => {
	const at = (growthStage: string | number) => verdict({}, { growthStage });
	expect([59, 60, 61, '65', 'BBCH 69', 70, 605, 'soon'].map(at)).toEqual([
		...['ask', 'ask', 'block', 'block', 'block', 'ask', 'ask', 'ask'],
	]);
	expect(check({}, { growthStage: 65 })).toMatchObject({
		value: 'BBCH 65',
		say: 'The crop is in flower (growth stage 65). Use is not allowed where the crop or weeds are in flower.',
	});
	expect(verdict({ fromMemory: true }, { growthStage: 65 })).toBe('warn');
	expect(verdict({ warnsOnly: true }, { growthStage: 65 })).toBe('warn');
	expect(verdict({ crop: 'TRZAW' }, { growthStage: 65 })).toBe('unknown');
});

test('what was seen counts: nothing is in order, something is not, and no answer is asked for', () => {
	const seen = (inFlower: string | null) => verdict({}, { inFlower });
	expect(['nothing', 'Nothing in flower', ' none ', 'weeds', 'nothing but weeds', '', null].map(seen)).toEqual([
		...['ok', 'ok', 'ok', 'block', 'block', 'ask', 'ask'],
	]);
});

test('an answer that the stage contradicts asks which is right', () => {
	expect(verdict({}, { inFlower: 'nothing', growthStage: 65 })).toBe('ask');
	expect(verdict({}, { inFlower: 'crop', growthStage: 32 })).toBe('block');
});

test('with hours it may begin between them whatever is in flower, over midnight too', () => {
	const begun = (startHour: number) => verdict(NIGHT, { startHour, inFlower: 'crop' });
	expect([20.4, 20.5, 23, 0, 6, 6.1].map(begun)).toEqual(['block', 'ok', 'ok', 'ok', 'ok', 'block']);
	expect(verdict(NIGHT, { startHour: 22 })).toBe('ok');
	expect(verdict(NIGHT, { startHour: 12 })).toBe('ask');
	expect(verdict(NIGHT, { startHour: 12, inFlower: 'nothing' })).toBe('ok');
	expect(check(NIGHT, { growthStage: 63 })).toMatchObject({
		verdict: 'ask',
		limit: '20:30–06:00',
		say: 'The crop is in flower (growth stage 63). It may only begin from 20:30 to 06:00. When will it begin?',
	});
	expect(check(NIGHT, { startHour: 12, inFlower: 'thistles' }).say).toBe(
		'In flower: thistles. It begins at 12:00; use is then allowed from 20:30 to 06:00.',
	);
});

test('of several loads what one of them saw counts, and silence of one is no "nothing"', () => {
	expect([
		inFlowerOver(['nothing', 'weeds']),
		inFlowerOver(['nothing', null]),
		inFlowerOver(['nothing', 'nothing']),
		inFlowerOver([]),
	]).toEqual(['weeds', null, 'nothing', null]);
	expect(['nothing', 'No', 'nodding thistle'].map(saysNothing)).toEqual([true, true, false]);
});
