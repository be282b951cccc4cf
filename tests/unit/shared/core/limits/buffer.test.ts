import { describe, expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import type { Limit, PlannedApplication, Treatment } from '../../../../../shared/core/limits/limit.ts';
import { type MarginKept, marginWords } from '../../../../../shared/core/limits/margin-kept.ts';

const DITCH: MarginKept = {
	...{ margin: 'ditch in the north', water: 'wet', width: 'under 3 m', driftReduction: 75 },
	...{ keptM: 2, by: 'Ada' },
};

type Given = {
	margins?: MarginKept[];
	bufferM?: number;
	dose?: number;
	history?: Treatment[];
} & Partial<Pick<PlannedApplication, 'date' | 'begun'>>;

function check(limit: Partial<Limit>, { margins, bufferM, dose = 0.8, history = [], ...rest }: Given = {}) {
	const label = { source: 'label', fromMemory: false };
	const limits: Limit[] = [
		{ kind: 'buffer', min: 5, ...label, ...limit },
		{ kind: 'singleDose', max: 1.6, ...label },
	];
	const ground = {
		...{ fieldId: 'f', crop: ['TRZAW'], cropFrom: null, cropTo: null, growthStage: null, harvestOn: null },
		...{ season: { from: '2025-08-01', to: '2026-07-31' }, bufferM: bufferM ?? null, margins },
	};
	const product = { productId: 'p', name: 'P', unit: 'L' as const, dosePerHa: dose, actives: [], limits };
	const application = { ground, date: '2026-05-03', sprayVolumeLPerHa: 200, products: [product], history, rules: [] };
	const found = checkLimits({ ...application, ...rest }).find(({ kind }) => kind === 'buffer');
	if (!found) throw new Error('no finding');
	return found;
}

const verdict = (...args: Parameters<typeof check>) => check(...args).verdict;
const REDUCIBLE = { reducible: true };
const FIXED = { reducible: false };

describe('distance to water', () => {
	test('the full distance is in order, however it was found out', () => {
		for (const limit of [{}, REDUCIBLE, FIXED]) {
			expect(verdict(limit, { bufferM: 5 })).toBe('ok');
			expect(verdict(limit, { margins: [{ ...DITCH, keptM: 5 }] })).toBe('ok');
			expect(verdict(limit)).toBe('ask');
		}
	});
	test('less is stopped where the label does not let it be reduced, or was not asked', () => {
		expect([verdict({}, { bufferM: 2 }), verdict(FIXED, { bufferM: 2 })]).toEqual(['block', 'block']);
		expect([verdict({}, { margins: [DITCH] }), verdict(FIXED, { margins: [DITCH] })]).toEqual(['block', 'block']);
		expect(verdict({ ...FIXED, fromMemory: true }, { margins: [DITCH] })).toBe('warn');
	});
	test('less is in order with an assessment that is whole, and asked about until then', () => {
		expect(verdict(REDUCIBLE, { bufferM: 2 })).toBe('ask');
		const { verdict: whole, value, say } = check(REDUCIBLE, { margins: [DITCH] });
		expect([whole, value]).toEqual(['ok', 2]);
		expect(say).toContain('ditch in the north, by Ada. 0.8 of at most 1.6 L/ha is the half dose class');
		const { width: _, driftReduction: __, ...bare } = DITCH;
		expect(check(REDUCIBLE, { margins: [DITCH, { ...bare, margin: 'brook' }] })).toMatchObject({
			verdict: 'ask',
			say: 'A strip of 2 m is kept, 5 m are needed. The assessment of brook lacks the width of the water and the drift-reduction class of the nozzles.',
		});
		// Without water in it neither width nor drift is asked.
		expect(verdict(REDUCIBLE, { margins: [{ ...bare, water: 'dry', keptM: 1 }] })).toBe('ok');
	});
	test('only a quarter dose has a published distance; the table of the others is not guessed', () => {
		const say = (dose: number) => check(REDUCIBLE, { bufferM: 2, dose }).say;
		expect(say(0.4)).toContain('quarter dose class: 1 m with any nozzle and at any width (Defra PB5621)');
		expect(say(1.6)).toContain('full dose class: look up the distance');
		expect(say(0.8)).not.toMatch(/\b[134] m\b/);
	});
	test('a dry ditch is asked about, since it may be less there; no water beside the ground is an answer', () => {
		expect(verdict(FIXED, { margins: [{ ...DITCH, water: 'dry', keptM: 1 }] })).toBe('ask');
		expect(verdict(FIXED, { margins: [{ ...DITCH, water: 'dry', keptM: 1 }, DITCH] })).toBe('block');
		expect(verdict(FIXED, { margins: [{ margin: 'all round', water: 'none', by: 'Ada' }] })).toBe('ok');
	});
	test('a distance to hedges looks at margins without water, one to water at the others', () => {
		const hedge: MarginKept = { margin: 'hedge in the east', water: 'none', keptM: 5, by: 'Ada' };
		const margins = [DITCH, hedge];
		expect(verdict({ ...FIXED, margin: 'hedge' }, { margins })).toBe('ok');
		expect(verdict(FIXED, { margins })).toBe('block');
		expect(verdict({ ...REDUCIBLE, margin: 'hedge' }, { margins: [{ ...hedge, keptM: 1 }] })).toBe('ok');
	});
	test('a margin in words', () => {
		expect(marginWords(DITCH)).toBe('ditch in the north: wet, under 3 m wide, 75 % less drift, 2 m kept');
	});
});

describe('after a reduced dose for a smaller distance: none of the product there within 48 h (Defra PB5621)', () => {
	const earlier = (change: Partial<Treatment> = {}): Treatment => ({
		...{ productId: 'p', name: 'P', unit: 'L', dosePerHa: 0.4, actives: [], recordId: 'r', application: 'j' },
		...{ date: '2026-05-01', overlap: 'yes', planned: false, shrunkUntil: 10.25, ...change },
	});
	const at = (date: string, hour?: number, change?: Partial<Treatment>) =>
		verdict(REDUCIBLE, {
			...{ date, bufferM: 5, history: [earlier(change)] },
			...(hour === undefined ? {} : { begun: [{ hour }] }),
		});
	test('a plan warns on every day that begins within them, a log by its own hour', () => {
		expect([at('2026-04-30'), at('2026-05-01'), at('2026-05-02'), at('2026-05-03'), at('2026-05-04')]).toEqual([
			...['ok', 'warn', 'warn', 'warn', 'ok'],
		]);
		expect([at('2026-05-03', 10), at('2026-05-03', 10.25), at('2026-05-01', 8)]).toEqual(['warn', 'ok', 'ok']);
	});
	test('it says from when, by what and after which record', () => {
		const found = check(REDUCIBLE, { bufferM: 5, history: [earlier()] });
		expect(found.say).toContain('so not before 3 May 2026 10:15 (Defra PB5621).');
		expect(found.records).toEqual(['r']);
	});
	test('other ground, other products and treatments with the full distance do not count', () => {
		expect(at('2026-05-02', undefined, { overlap: 'no' })).toBe('ok');
		expect(at('2026-05-02', undefined, { productId: 'other' })).toBe('ok');
		expect(at('2026-05-02', undefined, { shrunkUntil: undefined })).toBe('ok');
	});
	test('it takes nothing from a distance that is too small', () => {
		expect(verdict(FIXED, { date: '2026-05-02', bufferM: 1, history: [earlier()] })).toBe('block');
	});
});
