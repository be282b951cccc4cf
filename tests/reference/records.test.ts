import { describe, expect, test } from 'vitest';
import { standingWaits } from '../../shared/core/limits/standing-waits.ts';
import { keepUntil, ruleSetOf, writeBy } from '../../shared/core/records/rule-sets.ts';
import { frequencyOverFields, treatmentFrequency } from '../../shared/core/records/treatment-frequency.ts';

/** French ministry of agriculture, *Guide méthodologique IFT*, 2018: dose ÷ reference × treated ÷ field, added up, and by area over fields. */
describe('treatment frequency index', () => {
	const onTenHa = (dosePerHa: number, referencePerHa: number, treatedHa: number) =>
		treatmentFrequency({ dosePerHa, referencePerHa, treatedHa, fieldHa: 10 });

	test('herbicide 0.8, fungicides 0.5 and 0.4, growth regulator 1.0: the field has 2.7', () => {
		const each = [onTenHa(1.2, 1.5, 10), onTenHa(0.5, 1, 10), onTenHa(2, 2, 4), onTenHa(0.25, 0.25, 10)];
		expect(each.map((index) => Number(index?.toFixed(9)))).toEqual([0.8, 0.5, 0.4, 1]);
		expect(each.reduce<number>((sum, index) => sum + (index ?? 0), 0)).toBeCloseTo(2.7, 12);
	});
	test('30, 18 and 12 ha with 2.1, 3.4 and 1.2 make 2.31', () => {
		const fields = [
			{ index: 2.1, areaHa: 30 },
			{ index: 3.4, areaHa: 18 },
			{ index: 1.2, areaHa: 12 },
		];
		expect(Number(frequencyOverFields(fields)?.toFixed(2))).toBe(2.31);
	});
	test('nothing is reckoned without a reference dose or an area', () => {
		expect([onTenHa(1, 0, 10), frequencyOverFields([])]).toEqual([null, null]);
	});
});

/** Implementing Regulation (EU) 2023/564, Art. 3: in electronic form at latest 30 days after the use. 7 CFR 110.3: 14 days, from memory. */
test('a use of 17 April 2026 is to be in its final form by 17 May (EU) and 1 May (US)', () => {
	const by = (id: string) => {
		const rules = ruleSetOf(id);
		return rules && writeBy('2026-04-17', rules);
	};
	expect(['eu-2023-564', 'us-7cfr110', 'uk-code'].map(by)).toEqual(['2026-05-17', '2026-05-01', null]);
});

/** Regulation (EC) No 1107/2009, Art. 67: three years, read in Germany from 1 January after the use; 7 CFR 110.3: two years. */
test('a record is kept until the end of the year of use and three, or two, years more', () => {
	const until = (date: string, keepYears: number) => keepUntil(date, { keepYears });
	expect([until('2026-01-01', 3), until('2026-12-31', 3), until('2026-04-17', 2)]).toEqual([
		'2029-12-31',
		'2029-12-31',
		'2028-12-31',
	]);
});

/** With several products on one ground the longest interval counts: common reading of the labels, 40 CFR 170 (from memory). */
test('of a mix the longest harvest and re-entry interval counts; one for another crop does not', () => {
	const label = { source: 'label', fromMemory: false };
	const limits = [
		{ kind: 'harvestInterval', min: 35, ...label },
		{ kind: 'harvestInterval', min: 42, crop: 'TRZAW', ...label },
		{ kind: 'harvestInterval', min: 56, crop: 'HORVW', ...label },
		{ kind: 'reentry', min: 12, ...label },
		{ kind: 'reentry', max: 48, ...label },
	] as const;
	expect(standingWaits(limits, ['trzaw', 'Winter wheat'])).toEqual({
		reentryH: 48,
		livestockDays: null,
		harvestDays: 42,
		interval: null,
	});
});
