import fc from 'fast-check';
import { expect, test } from 'vitest';
import { topUpLoad } from '../../../../../shared/core/loads/top-up.ts';
import { groundForWashings } from '../../../../../shared/core/loads/washings.ts';

const lines = [
	{ name: 'A', unit: 'L', dosePerHa: 1.25, litresPerUnit: 1 },
	{ name: 'B', unit: 'kg', dosePerHa: 0.5, litresPerUnit: 0.7 },
] as const;

test('a top-up holds the same dose, measured down to the step', () => {
	// 0.73 ha at 150 L/ha: 109.5 L; 0.9125 L and 0.365 kg, down to 0.91 and 0.36; water 109.5 − 0.91 − 0.36 × 0.7.
	expect(topUpLoad({ areaHa: 0.73, sprayVolumeLPerHa: 150, measureStep: 0.01, lines })).toEqual({
		areaHa: 0.73,
		mixL: 109.5,
		waterL: expect.closeTo(108.338, 9),
		products: [
			{ name: 'A', unit: 'L', amount: 0.91 },
			{ name: 'B', unit: 'kg', amount: 0.36 },
		],
	});
});

test('no top-up passes the dose', () => {
	fc.assert(
		fc.property(fc.double({ min: 0.01, max: 20, noNaN: true }), fc.constantFrom(0.001, 0.01, 0.1), (areaHa, step) => {
			const { products } = topUpLoad({ areaHa, sprayVolumeLPerHa: 150, measureStep: step, lines });
			return products.every(({ amount }, line) => amount <= (lines[line]?.dosePerHa ?? 0) * areaHa + 1e-6);
		}),
		{ seed: 20270416 },
	);
});

test('washings need the ground on which the tightest label still has room', () => {
	// 60 L at 150 L/ha hold what 0.4 ha got. A: 1.25 × 0.4 ÷ (1.5 − 1.25) = 2 ha; B: 0.5 × 0.4 ÷ 0.5 = 0.4 ha.
	const products = [
		{ name: 'A', dosePerHa: 1.25, maxDosePerHa: 1.5 },
		{ name: 'B', dosePerHa: 0.5, maxDosePerHa: 1 },
	];
	const given = { leftL: 60, sprayVolumeLPerHa: 150 };
	expect(groundForWashings({ ...given, products })).toEqual({
		onSprayedHa: 2,
		limitedBy: 'A',
		keptBackHa: 0.4,
		unknown: [],
	});
	const atLabel = [{ name: 'A', dosePerHa: 1.5, maxDosePerHa: 1.5 }, ...products.slice(1)];
	expect(groundForWashings({ ...given, products: atLabel })).toMatchObject({ onSprayedHa: null, limitedBy: 'A' });
	const unknown = [{ name: 'C', dosePerHa: 1, maxDosePerHa: null }];
	expect(groundForWashings({ ...given, products: unknown })).toMatchObject({ onSprayedHa: null, unknown: ['C'] });
});

test('on the ground said to be enough, dose and washings together keep every label', () => {
	const dose = fc.double({ min: 0.05, max: 5, noNaN: true });
	const product = fc.record({ dosePerHa: dose, more: dose });
	fc.assert(
		fc.property(fc.array(product, { minLength: 1, maxLength: 5 }), fc.integer({ min: 1, max: 400 }), (drawn, leftL) => {
			const products = drawn.map(({ dosePerHa, more }, index) => ({
				name: String(index),
				dosePerHa,
				maxDosePerHa: dosePerHa + more,
			}));
			const { onSprayedHa } = groundForWashings({ leftL, sprayVolumeLPerHa: 200, products });
			return products.every(
				({ dosePerHa, maxDosePerHa }) =>
					dosePerHa + (dosePerHa * leftL) / 200 / (onSprayedHa ?? 0) <= maxDosePerHa * (1 + 1e-9),
			);
		}),
		{ seed: 20270417 },
	);
});
