import { describe, expect, test } from 'vitest';
import { dosePerHectare } from '../../../../../shared/core/loads/dose-per-hectare.ts';
import { product } from './job.ts';

describe('a dose per hectare', () => {
	test.each([
		['per hectare', product({ dosePerHa: 1.25 }), 1.25],
		['per 100 L of mix', product({ dosePer100L: 0.5 }), 1],
		['% v/v', product({ dosePercent: 0.25 }), 0.5],
		[
			'at the label maximum, whatever the last binary digit says',
			product({ dosePercent: 0.15, maxDosePerHa: 0.3 }),
			0.3,
		],
	] as const)('%s, at 200 L/ha', (_, given, dose) => {
		expect(dosePerHectare(given, 200, 'products.0')).toEqual({ ok: true, value: expect.closeTo(dose, 12) });
	});

	test.each([
		['none', product({ dosePerHa: null }), 'load.doseUnclear', { path: 'products.0', product: 'A', given: [] }],
		[
			'two',
			product({ dosePerHa: 1, dosePer100L: 1 }),
			'load.doseUnclear',
			{ path: 'products.0', product: 'A', given: ['dosePerHa', 'dosePer100L'] },
		],
		['a dose of 0', product({ dosePerHa: 0 }), 'load.doseNotPositive', { path: 'products.0.dosePerHa', product: 'A' }],
		[
			'% v/v of a product sold by mass',
			product({ dosePercent: 1, unit: 'kg' }),
			'load.percentByMass',
			{ path: 'products.0.dosePercent', product: 'A' },
		],
		[
			'more than the label allows',
			product({ dosePer100L: 0.6, maxDosePerHa: 1 }),
			'load.doseAboveLabel',
			{ path: 'products.0', product: 'A', dose: 1.2, limit: 1, unit: 'L' },
		],
	] as const)('refuses %s', (_, given, code, details) => {
		expect(dosePerHectare(given, 200, 'products.0')).toEqual({ ok: false, problem: { code, details } });
	});
});
