import { describe, expect, test } from 'vitest';
import { containerSequence } from '../../../../../shared/core/loads/container-sequence.ts';
import type { ProductToLoad } from '../../../../../shared/core/loads/loads-request.ts';
import { pouredAmounts } from '../../../../../shared/core/loads/poured-amounts.ts';
import { job, planOf, product } from './job.ts';

const L = 1_000_000;

/** Amount of each load, L, for loads that have made up mix for these areas in all. */
function amounts(given: Partial<ProductToLoad>, madeUpHa: readonly number[], step = 0.01): number[] {
	const { dosePerHa = 1, maxDosePerHa = null } = given;
	const dose = dosePerHa ?? 1;
	const sequence = containerSequence(product(given), dose * (madeUpHa.at(-1) ?? 0) * L, step * L, 'products.0');
	if (!sequence.ok) return [];
	const pouring = { dosePerHa: dose, maxDosePerHa, sequence: sequence.value, step: step * L };
	const poured = pouredAmounts(pouring, madeUpHa);
	return poured.map((amount, load) => (amount - (poured[load - 1] ?? 0)) / L);
}

describe('amounts in measuring steps', () => {
	test('each load’s rounding is carried into the next', () => {
		expect(amounts({ dosePerHa: 1, packSizes: [] }, [3.334, 6.668, 10.002, 13.336])).toEqual([3.33, 3.34, 3.33, 3.34]);
	});

	test('are clean decimals', () => {
		expect(amounts({ dosePerHa: 0.7, packSizes: [] }, [11.1, 33.49])).toEqual([7.77, 15.67]);
	});

	test('end where a container is empty within one step', () => {
		expect(amounts({ dosePerHa: 1, packSizes: [5] }, [4.99, 10.01, 14.98])).toEqual([5, 5, 4.98]);
	});

	test('are counted from the last boundary, so that what is measured is a whole number of steps', () => {
		expect(amounts({ dosePerHa: 1, packSizes: [2.5], openedPack: 0.37 }, [4, 9], 1)).toEqual([
			2.87 + 1,
			expect.closeTo(5, 9),
		]);
	});

	test('a small need is never taken for the empty start of the first container', () => {
		expect(amounts({ dosePerHa: 0.008, packSizes: [1] }, [1])).toEqual([0.01]);
	});
});

describe('at the label maximum', () => {
	test('each load is rounded down, and the next does not make up for it', () => {
		expect(amounts({ dosePerHa: 1, maxDosePerHa: 1, packSizes: [] }, [3.336, 6.672, 10.008])).toEqual([
			3.33, 3.33, 3.33,
		]);
	});

	test('with headroom the next load does', () => {
		expect(amounts({ dosePerHa: 1, maxDosePerHa: 1.002, packSizes: [] }, [3.336, 6.672, 10.008])).toEqual([
			3.34, 3.33, 3.34,
		]);
	});

	test('a container boundary beyond the maximum is not reached', () => {
		expect(amounts({ dosePerHa: 1, maxDosePerHa: 1, packSizes: [5] }, [4.995])).toEqual([4.99]);
	});

	test('the job that falls short by more than a step says so', () => {
		const atMaximum = product({ dosePerHa: 1.004, maxDosePerHa: 1.004, packSizes: [] });
		const plan = planOf(job({ areaHa: 100, strategy: 'even', products: [atMaximum], tank: { capacityL: 1000 } }));
		expect(plan.warnings).toEqual([
			{
				code: 'load.roundedDownAtLabel',
				message:
					'A: rounded down in each load to stay within the label maximum, the job gets 0.05 L less than its dose.',
				record: 'A',
			},
		]);
	});
});
