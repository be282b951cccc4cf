import { groundOfLoads } from '../../shared/core/loads/ground-of-loads.ts';
import type { LoadsRequest, ProductToLoad } from '../../shared/core/loads/loads-request.ts';
import { type LoadsPlan, planLoads } from '../../shared/core/loads/plan-loads.ts';
import { loadSolver, plainJob, wholeContainersProgram } from '../loads-milp.ts';
import { type BenchRow, medianMs } from './row.ts';

/** The solver is stopped here; it then stands for at least this long. */
const SOLVER_LIMIT_S = 60;

/** All three strategies for 6 products in 25 loads over 60 fields, and where each load goes, beside HiGHS on the whole-container problem alone. */
export async function planRow(): Promise<BenchRow> {
	const request = twentyFiveLoads();
	const ours = medianMs(() => groundOf(planned(request)));
	const plan = planned(request);
	const job = plainJob(request);
	const solver = await loadSolver();
	const start = performance.now();
	const options = { mip_rel_gap: 0, mip_abs_gap: 0.5, time_limit: SOLVER_LIMIT_S };
	const { Status, ObjectiveValue } = solver.solve(wholeContainersProgram(job), options);
	const reference = performance.now() - start;
	const saved = (plan.loads.length - 1) * request.products.length - Math.round(ObjectiveValue);
	const ended = Status === 'Optimal' ? 'proved' : `stopped after ${SOLVER_LIMIT_S} s at`;
	return {
		name: `${FIELDS.length} fields, ${request.products.length} products, ${plan.loads.length} loads`,
		ours,
		reference,
		ratio: ours / reference,
		note: `ours: median, three strategies, fewest pours and busiest load, ${poursBeforeLast(plan)} pours before the last load; reference: HiGHS, pours alone, ${ended} ${saved}`,
	};
}

function groundOf(plan: LoadsPlan) {
	return groundOfLoads(
		plan.loads.map(({ areaHa }) => areaHa),
		FIELDS,
	);
}

function poursBeforeLast(plan: LoadsPlan): number {
	return plan.totals.measuredPours - (plan.loads.at(-1)?.measuredPours ?? 0);
}

function planned(request: LoadsRequest): LoadsPlan {
	const plan = planLoads(request);
	if (!plan.ok) throw new Error(plan.problem.code);
	return plan.value;
}

/** 60 invented fields of 10.71 ha. */
const FIELDS = Array.from({ length: 60 }, () => 10.71);

/** All of them sprayed with one recipe. */
function twentyFiveLoads(): LoadsRequest {
	const line = (name: string, dosePerHa: number, pack: number, openedPack = 0): ProductToLoad => ({
		name,
		formulation: 'SC',
		unit: 'L',
		dosePerHa,
		packSizes: [pack],
		openedPack,
	});
	return {
		areaHa: FIELDS.reduce((sum, areaHa) => sum + areaHa, 0),
		sprayVolumeLPerHa: 150,
		strategy: 'whole containers',
		tank: { capacityL: 4000, minimumL: 400, unsprayableL: 40, leftInTankL: 0, leftIsSameMix: true },
		products: [
			line('A', 1.25, 5),
			line('B', 0.8, 10, 3.2),
			line('C', 2, 20),
			line('D', 0.25, 1),
			line('E', 0.6, 5),
			line('F', 1.5, 15, 7),
		],
		measureStep: 0.01,
	};
}
