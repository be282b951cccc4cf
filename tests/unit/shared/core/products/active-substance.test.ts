import { expect, test } from 'vitest';
import { activeSubstance } from '../../../../../shared/core/products/active-substance.ts';

const byMass = { substance: 'sulphur', content: 500, contentUnit: 'g/kg' } as const;

test('a content by mass of a product measured by volume goes through the relative density', () => {
	expect(activeSubstance(2, { unit: 'L', relativeDensity: 1.25 }, byMass)).toEqual({ ok: true, value: 1250 });
});

test('a content by volume of a product measured by mass goes through it the other way', () => {
	const byVolume = { substance: 'sulphur', content: 500, contentUnit: 'g/L' } as const;
	expect(activeSubstance(2, { unit: 'kg', relativeDensity: 1.25 }, byVolume)).toEqual({ ok: true, value: 800 });
});

test('without a relative density it is refused', () => {
	expect(activeSubstance(2, { unit: 'L', relativeDensity: null }, byMass)).toEqual({
		ok: false,
		problem: { code: 'product.contentNeedsDensity', details: { substance: 'sulphur', contentUnit: 'g/kg', unit: 'L' } },
	});
});
