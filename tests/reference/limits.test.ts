import { describe, expect, test } from 'vitest';
import { addDays } from '../../shared/basics/calendar.ts';
import { activeDoses } from '../../shared/core/limits/active-doses.ts';
import { checkLimits } from '../../shared/core/limits/check-limits.ts';
import type { Finding, Limit, PlannedApplication, Treatment } from '../../shared/core/limits/limit.ts';
import { earliestHarvest, reentryEnds } from '../../shared/core/limits/time-limits.ts';

const ground: PlannedApplication['ground'] = {
	fieldId: 'long field',
	crop: ['TRZAW'],
	cropFrom: null,
	cropTo: null,
	season: { from: '2025-08-01', to: '2026-07-31' },
	growthStage: null,
	harvestOn: null,
	bufferM: null,
};

/** A product that is one active substance, so that a dose in kg/ha is its grams ÷ 1000. */
function pure(substance: string, gPerHa: number, group: string | null = null) {
	const actives = [{ substance, gPerHa, group }];
	return { productId: substance, name: substance, unit: 'kg' as const, dosePerHa: gPerHa / 1000, actives };
}

function sprayed(substance: string, gPerHa: number, date: string, group: string | null = null): Treatment {
	return { ...pure(substance, gPerHa, group), recordId: date, application: date, date, overlap: 'yes', planned: false };
}

function limit(given: Partial<Limit> & Pick<Limit, 'kind'>): Limit {
	return { source: 'rule', fromMemory: false, ...given };
}

/** What one rule says about one more spray. */
function ruled(
	rule: Limit,
	planned: ReturnType<typeof pure>,
	date: string,
	history: readonly Treatment[],
): Finding | undefined {
	const products = [{ ...planned, limits: [] }];
	const found = checkLimits({ ground, date, sprayVolumeLPerHa: null, products, history, rules: [rule] });
	return found.find(({ productId }) => productId === undefined);
}

/** Implementing Regulation (EU) 2018/1981: at most 28 kg copper per hectare in 7 years. */
describe('copper, 28 kg/ha over 7 years', () => {
	const rule = limit({ kind: 'activeSubstance', substance: 'copper', max: 28_000, per: 'years', years: 7 });
	const history = [4.8, 3.9, 4.2, 0, 5, 4.4].flatMap((kg, year) =>
		kg === 0 ? [] : [sprayed('copper', kg * 1000, `${2020 + year}-05-01`)],
	);
	test('22.3 kg in six years leave 5.7 kg', () => {
		const verdicts = [5700, 5701].map((grams) => {
			const found = ruled(rule, pure('copper', grams), '2026-05-01', history);
			return [found?.verdict, found?.value];
		});
		expect(verdicts).toEqual([
			['ok', 28_000],
			['block', 28_001],
		]);
	});
	test('the eighth year no longer counts the first', () => {
		const later = [...history, sprayed('copper', 5700, '2026-05-01')];
		expect(ruled(rule, pure('copper', 4800), '2027-05-01', later)?.verdict).toBe('ok');
	});
	test('in fixed periods the count starts anew', () => {
		const fixed = { ...rule, from: '2019-01-01' };
		expect(ruled(fixed, pure('copper', 28_000), '2026-05-01', history)?.value).toBe(28_000);
		expect(ruled(fixed, pure('copper', 4800), '2025-12-31', history)?.value).toBe(27_100);
	});
});

/** 2.0 kg/ha of a product of 350 g/kg is 0.70 kg copper: five doses are 3.5 kg, the sixth passes a yearly 4 kg. */
test('copper, 4 kg/ha in a calendar year: the sixth full dose is one too many', () => {
	const rule = limit({ kind: 'activeSubstance', substance: 'copper', max: 4000, per: 'calendar year' });
	const days = ['2026-04-01', '2026-04-15', '2026-05-01', '2026-05-15', '2026-06-01'];
	const history = days.map((date) => sprayed('copper', 700, date));
	expect(ruled(rule, pure('copper', 700), '2026-06-01', history.slice(0, 4))?.verdict).toBe('ok');
	expect(ruled(rule, pure('copper', 700), '2026-06-15', history)).toMatchObject({
		verdict: 'block',
		value: 4200,
		records: days,
	});
});

/** EU approval of metazachlor: at most 1.0 kg/ha, only every third year on the same field. */
describe('metazachlor, 1.0 kg/ha and once in three years', () => {
	const total = limit({ kind: 'activeSubstance', substance: 'metazachlor', max: 1000, per: 'years', years: 3 });
	const once = limit({ kind: 'treatments', substance: 'metazachlor', max: 1, per: 'years', years: 3 });
	const label = {
		unit: 'L' as const,
		relativeDensity: null,
		actives: [{ substance: 'metazachlor', content: 500, contentUnit: 'g/L' as const }],
	};
	const doses = activeDoses(1.5, label);
	const history = [sprayed('metazachlor', 750, '2024-09-01')];

	test('1.5 L/ha of 500 g/L is 750 g/ha', () => {
		expect(doses).toEqual([{ substance: 'metazachlor', gPerHa: 750, group: null }]);
	});
	test('250 g/ha are left below the ceiling', () => {
		const verdicts = [250, 251].map(
			(grams) => ruled(total, pure('metazachlor', grams), '2025-09-01', history)?.verdict,
		);
		expect(verdicts).toEqual(['ok', 'block']);
	});
	test('but no further use is open for the rest of the three years', () => {
		const verdicts = ['2025-09-01', '2027-08-31', '2027-09-01'].map(
			(date) => ruled(once, pure('metazachlor', 250), date, history)?.verdict,
		);
		expect(verdicts).toEqual(['block', 'block', 'ok']);
	});
});

/** UK stewardship guideline for metaldehyde (farm press; outdoor use has ended since): 210 g/ha from 1 August to 31 December, 700 g/ha a calendar year. */
test('metaldehyde, a yearly window beside a calendar year', () => {
	const autumn = limit({
		kind: 'activeSubstance',
		substance: 'metaldehyde',
		max: 210,
		from: '2018-08-01',
		to: '2018-12-31',
	});
	const year = limit({ kind: 'activeSubstance', substance: 'metaldehyde', max: 700, per: 'calendar year' });
	const spring = [120, 120, 120, 120].map((grams, index) => sprayed('metaldehyde', grams, `2026-03-0${index + 1}`));
	const autumnSpray = sprayed('metaldehyde', 120, '2026-08-01');
	const planned = pure('metaldehyde', 100);
	expect({
		inSpring: ruled(autumn, planned, '2026-04-01', spring)?.verdict,
		firstInAutumn: ruled(autumn, planned, '2026-08-01', spring)?.value,
		secondInAutumn: ruled(autumn, planned, '2026-12-31', [...spring, autumnSpray])?.verdict,
		fullYear: ruled(year, planned, '2026-12-31', [...spring, autumnSpray])?.value,
		overTheYear: ruled(year, pure('metaldehyde', 101), '2026-12-31', [...spring, autumnSpray])?.verdict,
		newYear: ruled(year, planned, '2027-01-01', [...spring, autumnSpray])?.value,
	}).toEqual({
		inSpring: 'ok',
		firstInAutumn: 100,
		secondInAutumn: 'block',
		fullYear: 700,
		overTheYear: 'block',
		newYear: 100,
	});
});

/** FRAC QoI working group: at most 2 sprays that contain a QoI (group 11) per cereal crop. */
test('two QoI sprays per cereal crop, over all products', () => {
	const rule = limit({ kind: 'modeOfAction', group: '11', max: 2, per: 'crop' });
	const first = sprayed('azoxystrobin', 200, '2026-04-10', '11');
	const second = sprayed('pyraclostrobin', 150, '2026-05-05', '11');
	const lastSeason = sprayed('azoxystrobin', 200, '2025-05-20', '11');
	const other = sprayed('prothioconazole', 150, '2026-05-05', '3');
	const planned = pure('trifloxystrobin', 150, '11');
	expect({
		second: ruled(rule, planned, '2026-06-01', [lastSeason, first, other])?.verdict,
		third: ruled(rule, planned, '2026-06-01', [lastSeason, first, second, other])?.verdict,
		notTheGroup: ruled(rule, pure('folpet', 500, 'M04'), '2026-06-01', [first, second]),
	}).toEqual({ second: 'ok', third: 'block', notTheGroup: undefined });
});

/** Annex of Implementing Regulation (EU) 2021/824, from memory: terbuthylazine at most 850 g/ha, once in three years on the same field. */
test('terbuthylazine, 850 g/ha once in three years: from memory, so it warns', () => {
	const remembered = { substance: 'terbuthylazine', per: 'years', years: 3, fromMemory: true } as const;
	const dose = limit({ kind: 'activeSubstance', max: 850, ...remembered });
	const once = limit({ kind: 'treatments', max: 1, ...remembered });
	const history = [sprayed('terbuthylazine', 500, '2024-05-10')];
	const planned = pure('terbuthylazine', 350);
	expect({
		rest: ruled(dose, planned, '2026-05-09', history)?.verdict,
		more: ruled(dose, pure('terbuthylazine', 351), '2026-05-09', history)?.verdict,
		second: ruled(once, planned, '2027-05-09', history)?.verdict,
		later: ruled(once, planned, '2027-05-10', history)?.verdict,
	}).toEqual({ rest: 'ok', more: 'warn', second: 'warn', later: 'ok' });
});

/** FRAC SDHI working group and FRAG-UK, from memory: at most 2 treatments with an SDHI (group 7) per cereal crop. */
test('two SDHI treatments per cereal crop; a product of two groups counts for each', () => {
	const sdhi = limit({ kind: 'modeOfAction', group: '7', max: 2, per: 'crop', fromMemory: true });
	const qoi = limit({ kind: 'modeOfAction', group: '11', max: 2, per: 'crop' });
	const both = (date: string): Treatment => ({
		...sprayed('fluxapyroxad', 60, date, '7'),
		actives: [
			{ substance: 'fluxapyroxad', gPerHa: 60, group: '7' },
			{ substance: 'pyraclostrobin', gPerHa: 120, group: '11' },
		],
	});
	const history = [both('2026-04-15'), both('2026-05-10')];
	expect({
		thirdSdhi: ruled(sdhi, pure('bixafen', 75, '7'), '2026-06-01', history)?.verdict,
		thirdQoi: ruled(qoi, pure('azoxystrobin', 200, '11'), '2026-06-01', history)?.verdict,
		second: ruled(sdhi, pure('bixafen', 75, '7'), '2026-06-01', history.slice(1))?.verdict,
	}).toEqual({ thirdSdhi: 'warn', thirdQoi: 'block', second: 'ok' });
});

/** Calendar arithmetic of label intervals. */
describe('dates', () => {
	test('30 April and 14 May pass a 14-day interval, 13 May does not', () => {
		const rule = limit({ kind: 'interval', min: 14, substance: 'folpet' });
		const history = [sprayed('folpet', 500, '2026-04-30')];
		const verdicts = ['2026-05-14', '2026-05-13'].map(
			(date) => ruled(rule, pure('folpet', 500), date, history)?.verdict,
		);
		expect(verdicts).toEqual(['ok', 'block']);
	});
	test('35 and 42 days from 8 July 2026', () => {
		expect([35, 42].map((days) => earliestHarvest('2026-07-08', days))).toEqual(['2026-08-12', '2026-08-19']);
	});
	test('28 days from 20 February, with and without a leap day', () => {
		expect([addDays('2026-02-20', 28), addDays('2028-02-20', 28)]).toEqual(['2026-03-20', '2028-03-19']);
	});
	test('12 and 48 hours from 14 May, 18:40, and across the start of summer time', () => {
		const at = (text: string, hours: number) => new Date(reentryEnds(Date.parse(text), hours)).toISOString();
		expect([
			at('2026-05-14T18:40:00+01:00', 12),
			at('2026-05-14T18:40:00+01:00', 48),
			at('2026-03-28T20:00:00+00:00', 12),
		]).toEqual(['2026-05-15T05:40:00.000Z', '2026-05-16T17:40:00.000Z', '2026-03-29T08:00:00.000Z']);
	});
});

/** 4 ha of a 10 ha field at full dose: the mean over the field is 0.4 of it, but on the treated ground it is the full dose. */
test('part of a field at full dose is a full dose on the treated ground', () => {
	const product = { ...pure('folpet', 1000), limits: [limit({ kind: 'totalDose', max: 1.5, per: 'season' })] };
	const history = [{ ...sprayed('folpet', 1000, '2026-04-01') }];
	const findings = checkLimits({
		ground,
		date: '2026-05-01',
		sprayVolumeLPerHa: null,
		products: [product],
		history,
		rules: [],
	});
	expect(findings.find(({ kind }) => kind === 'totalDose')).toMatchObject({
		verdict: 'block',
		value: 2,
		unit: 'kg/ha',
	});
});
