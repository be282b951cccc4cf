import { describe, expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import type { Limit, PlannedApplication, Treatment } from '../../../../../shared/core/limits/limit.ts';
import { leftOpen, type MarginKept, marginWords } from '../../../../../shared/core/limits/margin-kept.ts';

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
		expect(marginWords({ ...DITCH, pressureFromBar: 1.5, pressureToBar: 3, lessDriftWithin30M: true })).toBe(
			'ditch in the north: wet, under 3 m wide, 75 % less drift, 1.5 to 3 bar, drift-reducing equipment within 30 m, 2 m kept',
		);
		const one = { ...DITCH, pressureFromBar: 2, lessDriftWithin30M: false };
		expect(marginWords(one)).toContain('75 % less drift, 2 bar, no drift-reducing equipment within 30 m');
		expect(marginWords({ ...DITCH, pressureToBar: 3 })).toContain('up to 3 bar');
	});
	test('over 5 m it is said, and warned of, that labels may ask for less drift within 30 m; never blocked', () => {
		const WIDE = { min: 12, reducible: false };
		const kept = { ...DITCH, keptM: 12 };
		expect([check(WIDE).say, check(FIXED).say].map((say) => say.includes('within 30 m'))).toEqual([true, false]);
		expect(check({ ...WIDE, margin: 'hedge' }).say).not.toContain('within 30 m');
		expect(verdict(WIDE, { margins: [kept] })).toBe('ok');
		expect(verdict(WIDE, { margins: [{ ...kept, lessDriftWithin30M: true }] })).toBe('ok');
		const without = check(WIDE, { margins: [{ ...kept, lessDriftWithin30M: false }] });
		expect(without.verdict).toBe('warn');
		expect(without.say).toContain('ditch in the north');
		expect(without.say).toContain('from memory');
		expect(verdict(WIDE, { margins: [{ ...kept, lessDriftWithin30M: true, driftReduction: 50 }] })).toBe('warn');
		expect(verdict(WIDE, { margins: [{ ...DITCH, lessDriftWithin30M: false }] })).toBe('block');
		expect(verdict(FIXED, { margins: [{ ...DITCH, keptM: 5, lessDriftWithin30M: false }] })).toBe('ok');
	});
	test('what an assessment leaves open: the pressure, and over 5 m the equipment within 30 m', () => {
		expect(leftOpen({ margins: [DITCH], labelM: 5 })).toEqual(['pressure at the margins']);
		expect(leftOpen({ margins: [DITCH], labelM: 12 })).toEqual(['pressure at the margins', 'less drift within 30 m']);
		const whole = { ...DITCH, pressureFromBar: 2, lessDriftWithin30M: false };
		expect(leftOpen({ margins: [whole, { margin: 'lane', water: 'none', by: 'Ada' }], labelM: 12 })).toEqual([]);
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
