import { expect, test } from 'vitest';
import { doseClassOf, largestSingleDose } from '../../shared/core/limits/margin-kept.ts';

/**
 * Classes of the local assessment at water, Defra booklet PB5621 (guide for boom sprayers): share of the largest single dose
 * of the label for any crop: 0–25 % quarter, 25.1–50 % half, 50.1–75 % three-quarter, 75.1–100 % full.
 */
const published = [
	[0.1, 'quarter'],
	[25, 'quarter'],
	[25.1, 'half'],
	[50, 'half'],
	[50.1, 'three-quarter'],
	[75, 'three-quarter'],
	[75.1, 'full'],
	[100, 'full'],
] as const;

test('dose classes as published', () => {
	expect(published.map(([percent]) => doseClassOf((percent / 100) * 1.6, 1.6))).toEqual(published.map(([, of]) => of));
	expect(doseClassOf(1.7, 1.6)).toBe('full');
});

test('the largest single dose is that of any crop on the label; a dose in closed spaces is none', () => {
	const limit = { source: 'label', fromMemory: false, kind: 'singleDose' } as const;
	const limits = [
		{ ...limit, max: 0.8, crop: 'TRZAW' },
		{ ...limit, max: 1.6, crop: 'BRSNW' },
		{ ...limit, max: 40, doseUnit: 'L/t' as const },
		{ ...limit, kind: 'totalDose' as const, max: 3 },
	];
	expect([largestSingleDose(limits), largestSingleDose([])]).toEqual([1.6, null]);
});
