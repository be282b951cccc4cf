import { describe, expect, test } from 'vitest';
import { LoadsPlan, LoadsRequest } from '../../../../shared/contract/loads-plan.ts';
import { planLoads } from '../../../../shared/core/loads/plan-loads.ts';

const least = {
	areaHa: 12,
	sprayVolumeLPerHa: 200,
	tank: { capacityL: 3000 },
	products: [{ name: 'A', formulation: 'SC', unit: 'L', dosePerHa: 1 }],
};

describe('loads.plan', () => {
	test('every default stands in the schema', () => {
		expect(LoadsRequest.parse(least)).toEqual({
			areaHa: 12,
			sprayVolumeLPerHa: 200,
			tank: { capacityL: 3000, minimumL: 0, unsprayableL: 0, leftInTankL: 0, leftIsSameMix: true },
			products: [
				{
					name: 'A',
					formulation: 'SC',
					unit: 'L',
					dosePerHa: 1,
					dosePer100L: null,
					dosePercent: null,
					maxDosePerHa: null,
					packSizes: [],
					openedPack: 0,
					relativeDensity: null,
					displacementLPerKg: null,
				},
			],
			measureStep: 0.01,
		});
	});

	test('the answer has the declared shape', () => {
		const plan = planLoads(LoadsRequest.parse(least));
		expect(plan.ok && LoadsPlan.parse(plan.value)).toEqual(plan.ok && plan.value);
		expect(plan.ok).toBe(true);
	});

	test.each([
		['an unknown field', { ...least, tankL: 3000 }, []],
		['a spray volume of 0', { ...least, sprayVolumeLPerHa: 0 }, ['sprayVolumeLPerHa']],
		['a negative minimum', { ...least, tank: { capacityL: 3000, minimumL: -1 } }, ['tank', 'minimumL']],
		['a step below a microlitre', { ...least, measureStep: 1e-7 }, ['measureStep']],
		['an unknown strategy', { ...least, strategy: 'half' }, ['strategy']],
	])('%s is bad input, and named', (_, input, path) => {
		expect(LoadsRequest.safeParse(input).error?.issues[0]?.path).toEqual(path);
	});
});
