import { describe, expect, test } from 'vitest';
import { checkLimits } from '../../shared/core/limits/check-limits.ts';
import type { AppliedProduct, Limit, Treatment } from '../../shared/core/limits/limit.ts';
import { ENGLISH_MAXIMA_SOURCE, englishNitrogenMax } from '../../shared/core/limits/nitrogen-figures.ts';
import { nutrientKg } from '../../shared/core/products/nutrient.ts';

/** 1 lb/US gal = 119.826 g/L; 1 US gal/ac = 9.353956 L/ha; 1 lb/ac = 1.120851 kg/ha. */
const KG_PER_L_AND_LB_PER_GAL = 0.119826;
const L_PER_HA_AND_GAL_PER_AC = 9.353956;
const KG_PER_HA_AND_LB_PER_AC = 1.120851;

/**
 * J. Camberato, Purdue University Extension, in *Basic calculations for nitrogen fertilizers*, Farm Progress, 17 January
 * 2023: 28 % N at 10.6 lb/gal is 28 × 10.6 ÷ 100 = 2.97 lb of N in a gallon; 20 gal/ac bring 59.4 lb/ac.
 */
describe('urea ammonium nitrate solution, 28 % N', () => {
	const relativeDensity = 10.6 * KG_PER_L_AND_LB_PER_GAL;
	const solution = { unit: 'L' as const, relativeDensity };
	const byMass = { nutrient: 'N', content: 28, contentUnit: '% w/w' } as const;

	test('2.97 lb in a gallon', () => {
		const perLitre = nutrientKg(1, solution, byMass);
		expect(perLitre.ok && perLitre.value / KG_PER_L_AND_LB_PER_GAL).toBeCloseTo(2.97, 2);
	});
	test('20 gal/ac bring 59.4 lb/ac', () => {
		const perHa = nutrientKg(20 * L_PER_HA_AND_GAL_PER_AC, solution, byMass);
		expect(perHa.ok && perHa.value / KG_PER_HA_AND_LB_PER_AC).toBeCloseTo(59.4, 1);
	});
	test('the same said in kg/100 L or g/L, without the density', () => {
		const kgPer100L = 28 * relativeDensity;
		const said = [
			nutrientKg(200, solution, byMass),
			nutrientKg(200, { unit: 'L', relativeDensity: null }, { ...byMass, content: kgPer100L, contentUnit: 'kg/100 L' }),
			nutrientKg(200, { unit: 'L', relativeDensity: null }, { ...byMass, content: kgPer100L * 10, contentUnit: 'g/L' }),
		];
		for (const kg of said) expect(kg.ok && kg.value).toBeCloseTo(71.13, 2);
	});
	test('by mass without a density it is refused', () => {
		expect(nutrientKg(200, { unit: 'L', relativeDensity: null }, byMass)).toMatchObject({
			ok: false,
			problem: { code: 'product.contentNeedsDensity' },
		});
	});
});

/** Environment Agency, *Using nitrogen fertilisers in nitrate vulnerable zones*: winter wheat 220, spring barley 150, winter oilseed rape 250 kg/ha. */
test('published maxima, by EPPO code or name', () => {
	expect([['TRZAW'], ['Spring barley'], ['BRSNW', 'Oilseed rape'], ['Lupins']].map(englishNitrogenMax)).toMatchObject([
		{ kgPerHa: 220 },
		{ kgPerHa: 150 },
		{ kgPerHa: 250 },
		null,
	]);
});

/** Defra, PB12736g, leaflet 7: the figure is a mean over the fields of a crop, so a single field above it has not broken it. */
test('220 kg N/ha in three dressings: kept to the kilogram, warned of above', () => {
	const limit: Limit = {
		kind: 'nutrient',
		nutrient: 'N',
		max: 220,
		per: 'season',
		source: ENGLISH_MAXIMA_SOURCE,
		fromMemory: false,
		warnsOnly: true,
	};
	const dressing = (kgPerHa: number | null): AppliedProduct => ({
		...{ productId: 'n', name: 'Solution', unit: 'L', dosePerHa: 100, actives: [] },
		nutrients: [{ nutrient: 'N', kgPerHa }],
	});
	const before = (kgPerHa: number, date: string, overlap: Treatment['overlap'] = 'yes'): Treatment => ({
		...dressing(kgPerHa),
		...{ recordId: date, application: date, date, overlap, planned: false },
	});
	const history = [before(40, '2026-03-01'), before(120, '2026-04-10')];
	const found = (planned: AppliedProduct, rule = limit, lay = history) =>
		checkLimits({
			ground: {
				...{
					fieldId: 'f',
					crop: ['TRZAW'],
					cropFrom: null,
					cropTo: null,
					growthStage: null,
					harvestOn: null,
					bufferM: null,
				},
				season: { from: '2025-10-01', to: '2026-09-30' },
			},
			date: '2026-05-05',
			sprayVolumeLPerHa: null,
			products: [{ ...planned, limits: [] }],
			history: lay,
			rules: [rule],
		}).find(({ kind }) => kind === 'nutrient');
	expect(found(dressing(60))).toMatchObject({ verdict: 'ok', value: 220, limit: 220, unit: 'kg N/ha' });
	expect(found(dressing(61))?.verdict).toBe('warn');
	expect(found(dressing(61), { ...limit, warnsOnly: false })).toMatchObject({
		verdict: 'block',
		say: 'The nitrogen per season comes to 221 of 220 kg N/ha with this application: 1 too much.',
	});
	expect(found(dressing(61), { ...limit, warnsOnly: false, fromMemory: true })?.verdict).toBe('warn');
	expect(found(dressing(61), limit, [before(40, '2026-03-01'), before(120, '2026-04-10', 'unknown')])?.verdict).toBe(
		'ask',
	);
	expect(found(dressing(null))?.verdict).toBe('unknown');
	expect(found({ ...dressing(60), nutrients: [] })).toBeUndefined();
	expect(found(dressing(60), { ...limit, crop: 'HORVW' })).toBeUndefined();
});
