import { expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import { comesAfter, isTooEarly, sowingWait } from '../../../../../shared/core/limits/following-crop.ts';
import { isKeptAfterwards, type Limit, type NextCrop } from '../../../../../shared/core/limits/limit.ts';

const rape: NextCrop = { names: ['BRSNW', 'Winter oilseed rape'], sownOn: '2026-08-25' };
const DAYS = 120;
const KIND = { kind: 'followingCrop' as const, source: 'label', fromMemory: false };

/** A treatment of 1 May 2026; 120 days later is 29 August. */
function check(limit: Partial<Limit>, next?: readonly NextCrop[]) {
	const found = checkLimits({
		ground: {
			...{ fieldId: 'f1', crop: ['TRZAW', 'Winter wheat'], cropFrom: '2025-10-01', cropTo: null },
			season: { from: '2025-08-01', to: '2026-07-31' },
			...{ growthStage: 32, harvestOn: null, bufferM: null, next },
		},
		date: '2026-05-01',
		sprayVolumeLPerHa: 150,
		products: [{ productId: 'p1', name: 'P', unit: 'L', dosePerHa: 1, actives: [], limits: [{ ...KIND, ...limit }] }],
		history: [],
		rules: [],
	});
	const finding = found.find(({ kind }) => kind === 'followingCrop');
	if (!finding) throw new Error('no finding');
	return finding;
}

test('with nothing known to follow it is a wait to keep, no reason asked', () => {
	const finding = check({ crops: ['BRSNW'], min: DAYS });
	expect(finding).toMatchObject({ verdict: 'warn', limit: DAYS, value: null, unit: 'days' });
	expect(finding.say).toBe('No winter oilseed rape is to be sown before 29 August 2026.');
	expect(isKeptAfterwards(finding)).toBe(true);
	expect(isKeptAfterwards(check({ crops: ['BRSNW'], min: DAYS }, [{ ...rape, sownOn: null }]))).toBe(true);
});

test('a crop sown too early warns, with its days; the first day allowed is the last of the wait', () => {
	const early = check({ crops: ['oilseed rape'], min: DAYS }, [rape]);
	expect(early).toMatchObject({ verdict: 'warn', value: 116 });
	expect(early.say).toContain('Winter oilseed rape, sown 116 days later, is entered to follow.');
	expect(isKeptAfterwards(early)).toBe(false);
	expect(check({ crops: ['BRSNW'], min: DAYS }, [{ ...rape, sownOn: '2026-08-29' }]).verdict).toBe('ok');
	expect(check({ crops: ['BRSNW'], min: DAYS }, [{ ...rape, sownOn: '2026-08-28' }]).verdict).toBe('warn');
	expect(check({ min: DAYS }, [rape]).verdict).toBe('warn');
});

test('a crop the label does not name may follow', () => {
	const barley = { names: ['HORVW', 'Winter barley'], sownOn: '2026-05-02' };
	expect(check({ crops: ['BRSNW'], min: DAYS }, [barley]).verdict).toBe('ok');
	expect(check({ crops: ['BRSNW'] }, [barley, rape]).verdict).toBe('ok');
});

test('without days the next crop alone is meant, also without its date', () => {
	const never = check({ crops: ['BRSNW'] }, [{ ...rape, sownOn: null }]);
	expect(never).toMatchObject({ verdict: 'warn', value: 'Winter oilseed rape', limit: 'BRSNW' });
	expect(isKeptAfterwards(never)).toBe(false);
	expect(check({ crops: ['BRSNW'] })).toMatchObject({
		value: null,
		say: 'winter oilseed rape is not to be the next crop.',
	});
});

test('a limit that names neither days nor crops is unknown, no wait of 0 days is kept', () => {
	expect(check({}).verdict).toBe('unknown');
	expect(check({ min: 0 }).verdict).toBe('ok');
	expect(sowingWait({ ...KIND, kind: 'reentry', min: 5 }, '2026-05-01')).toBeNull();
});

test('a crop comes after a treatment by its date, else by its season', () => {
	const treated = { season: 2026, date: '2026-05-01' };
	expect(comesAfter({ season: 2026, sownOn: '2026-05-02' }, treated)).toBe(true);
	expect(comesAfter({ season: 2026, sownOn: '2026-05-01' }, treated)).toBe(false);
	expect(comesAfter({ season: 2026, sownOn: null }, treated)).toBe(false);
	expect(comesAfter({ season: 2027, sownOn: null }, treated)).toBe(true);
	expect(isTooEarly({ crops: [], from: '2026-08-29' }, { names: ['x'], sownOn: null })).toBe(false);
});
