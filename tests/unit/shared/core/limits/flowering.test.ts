import { expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import { saysNothing } from '../../../../../shared/core/limits/flowering.ts';
import type { Begun, Limit } from '../../../../../shared/core/limits/limit.ts';

type Given = { growthStage?: string | number; hour?: number; inFlower?: string | null; begun?: readonly Begun[] };
const NIGHT = { min: 20.5, max: 6 };

function check(limit: Partial<Limit>, { growthStage = 32, hour, inFlower, begun = [] }: Given) {
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
	const seen = hour === undefined && inFlower === undefined ? begun : [{ hour: hour ?? 12, inFlower }];
	const found = checkLimits({
		...{ ground: { ...ground, growthStage }, date: '2026-05-01', sprayVolumeLPerHa: 200, begun: seen },
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
	const begun = (hour: number) => verdict(NIGHT, { hour, inFlower: 'crop' });
	expect([20.4, 20.5, 23, 0, 6, 6.1].map(begun)).toEqual(['block', 'ok', 'ok', 'ok', 'ok', 'block']);
	expect(verdict(NIGHT, { hour: 22 })).toBe('ok');
	expect(verdict(NIGHT, { hour: 12 })).toBe('ask');
	expect(verdict(NIGHT, { hour: 12, inFlower: 'nothing' })).toBe('ok');
	expect(check(NIGHT, { growthStage: 63 })).toMatchObject({
		verdict: 'ask',
		limit: '20:30–06:00',
		say: 'The crop is in flower (growth stage 63). It may only begin from 20:30 to 06:00. When will it begin?',
	});
	expect(check(NIGHT, { hour: 12, inFlower: 'thistles' }).say).toBe(
		'In flower: thistles. It begins at 12:00; use is then allowed from 20:30 to 06:00.',
	);
});

test('of several loads the worst counts', () => {
	const of = (...begun: Begun[]) => check(NIGHT, { begun });
	const [night, noon] = [{ hour: 22, inFlower: 'crop' }, { hour: 12 }];
	expect(of(night, { ...noon, inFlower: 'nothing' }).verdict).toBe('ok');
	expect(of(night, noon).verdict).toBe('ask');
	expect(of(noon, night, { ...noon, inFlower: 'weeds' })).toMatchObject({ verdict: 'block', value: 'weeds' });
});

test('an answer typed in words says nothing only where it says no more', () => {
	expect(['nothing', 'No', 'nodding thistle'].map(saysNothing)).toEqual([true, true, false]);
});
