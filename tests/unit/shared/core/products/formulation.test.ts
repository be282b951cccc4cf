import { describe, expect, test } from 'vitest';
import { formulationOf, formulations, isLiquid, meaningIn } from '../../../../../shared/core/products/formulation.ts';

describe('formulation codes', () => {
	test('a code is known whatever its case', () => {
		expect(formulationOf(' wg ')).toEqual({
			code: 'WG',
			name: 'Water dispersible granule',
			state: 'solid',
			tank: 'yes',
		});
	});

	test('letters on no list are unknown', () => {
		expect(['XL', '', 'ZZ', 'SB', 'constructor'].map(formulationOf)).toEqual([null, null, null, null, null]);
	});

	test('North American terms are handled as their international code', () => {
		expect(['DF', 'WDG', 'DG', 'FL', 'F', 'S', 'SN'].map((code) => formulationOf(code)?.treatedAs)).toEqual([
			'WG',
			'WG',
			'WG',
			'SC',
			'SC',
			'SL',
			'SL',
		]);
	});

	test('the suffix SB marks a water-soluble bag', () => {
		const bag = { code: 'WP', name: 'Wettable powder', state: 'solid', tank: 'yes', waterSolubleBag: true };
		expect(['WP-SB', 'WP SB', 'wpsb'].map(formulationOf)).toEqual([bag, bag, bag]);
	});

	test('ME, SC and DS carry both meanings, and only they', () => {
		expect(Object.fromEntries(formulations.filter((f) => f.ambiguous).map((f) => [f.code, f.ambiguous]))).toEqual({
			DS: [
				{ coding: 'international', means: 'DS' },
				{ coding: 'north american', means: 'SG' },
			],
			ME: [
				{ coding: 'international', means: 'ME' },
				{ coding: 'north american', means: 'CS' },
			],
			SC: [
				{ coding: 'international', means: 'SC' },
				{ coding: 'north american', means: 'SL' },
			],
		});
	});

	test('ambiguous letters are settled by the coding system, and both meanings share the state', () => {
		for (const formulation of formulations.filter((f) => f.ambiguous)) {
			const settled = (['international', 'north american'] as const).map((coding) => meaningIn(formulation, coding));
			expect(settled.map((f) => [f.code, f.state, f.ambiguous])).toEqual(
				formulation.ambiguous?.map(({ means }) => [means, formulation.state, undefined]),
			);
		}
	});

	test('liquid or solid follows the code; where it does not say, the answer is null', () => {
		expect(['SC', 'GL', 'WG', 'DF', 'WP-SB', 'TC', 'XX', 'XL'].map(isLiquid)).toEqual([
			true,
			true,
			false,
			false,
			false,
			null,
			null,
			null,
		]);
	});

	test('every code stands once, and everything treated as another code has that state', () => {
		expect(new Set(formulations.map((f) => f.code)).size).toBe(formulations.length);
		for (const f of formulations) if (f.treatedAs) expect(formulationOf(f.treatedAs)?.state).toBe(f.state);
	});
});
