import { invariant } from '../../../../../shared/basics/result.ts';
import type { LoadsRequest, ProductToLoad, TankState } from '../../../../../shared/core/loads/loads-request.ts';
import { type LoadsPlan, planLoads } from '../../../../../shared/core/loads/plan-loads.ts';

/** An invented suspension concentrate in 5 L cans at 1.25 L/ha, unless said otherwise. */
export function product(given: Partial<ProductToLoad> = {}): ProductToLoad {
	const byHectare = given.dosePer100L === undefined && given.dosePercent === undefined;
	return {
		name: 'A',
		formulation: 'SC',
		unit: 'L',
		...(byHectare ? { dosePerHa: 1.25 } : {}),
		packSizes: [5],
		openedPack: 0,
		...given,
	};
}

/** 47.3 ha at 150 L/ha from a 4,000 L tank, unless said otherwise. */
export function job(
	given: Omit<Partial<LoadsRequest>, 'tank'> & { readonly tank?: Partial<TankState> } = {},
): LoadsRequest {
	return {
		areaHa: 47.3,
		sprayVolumeLPerHa: 150,
		products: [product()],
		measureStep: 0.01,
		...given,
		tank: { capacityL: 4000, minimumL: 400, unsprayableL: 0, leftInTankL: 0, leftIsSameMix: true, ...given.tank },
	};
}

/** The plan of a job that can be planned. */
export function planOf(request: LoadsRequest): LoadsPlan {
	const plan = planLoads(request);
	invariant(plan.ok, plan.ok ? '' : `refused: ${plan.problem.code} ${JSON.stringify(plan.problem.details)}`);
	return plan.value;
}
