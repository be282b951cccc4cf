import highsLoader, { type Highs } from 'highs';
import type { LoadsRequest } from '../shared/core/loads/loads-request.ts';

/** A job with whole packs of one size per product, as numbers of its own: nothing here comes from the planner. */
export type PlainJob = {
	readonly loads: number;
	readonly areaHa: number;
	/** New mix made up before any ground is sprayed ÷ spray volume. */
	readonly extraHa: number;
	readonly leastHa: number;
	readonly firstLeastHa: number;
	readonly mostHa: number;
	readonly step: number;
	readonly products: readonly { readonly dose: number; readonly ends: readonly number[] }[];
};

/** Restates a request in areas by the definition, apart from the planner. One pack size per product at most. */
export function plainJob(request: LoadsRequest): PlainJob {
	const { areaHa, sprayVolumeLPerHa: volume, tank } = request;
	const mostHa = (tank.capacityL - tank.unsprayableL) / volume;
	const loads = Math.ceil(areaHa / mostHa - 1e-12);
	const extraHa = (tank.unsprayableL - tank.leftInTankL) / volume;
	const standing = areaHa * volume + loads * tank.unsprayableL;
	const feasible = standing >= Math.max(tank.minimumL, tank.leftInTankL) + (loads - 1) * tank.minimumL;
	const leastHa = feasible ? Math.max(0, tank.minimumL - tank.unsprayableL) / volume : 0;
	return {
		loads,
		areaHa,
		extraHa,
		leastHa,
		firstLeastHa: Math.max(leastHa, -extraHa),
		mostHa,
		step: request.measureStep,
		products: request.products.map((product) => {
			const dose = product.dosePerHa ?? 0;
			const need = dose * (areaHa + extraHa);
			const [pack] = product.packSizes;
			const ends: number[] = product.openedPack > 0 ? [product.openedPack] : [];
			if (pack !== undefined) {
				for (let packs = 1; (ends.at(-1) ?? 0) <= need + request.measureStep; packs++) {
					ends.push(product.openedPack + packs * pack);
				}
			}
			return { dose, ends };
		}),
	};
}

/** Products that have to be measured out over all loads, by the definition, for loads that end after these areas. */
export function measuredPoursAt(job: PlainJob, sprayedHa: readonly number[]): number {
	let pours = 0;
	for (const sprayed of sprayedHa) {
		for (const { dose, ends } of job.products) {
			const due = dose * (sprayed + job.extraHa);
			if (due > 1e-9 && !ends.some((end) => Math.abs(end - due) <= job.step + 1e-8)) pours++;
		}
	}
	return pours;
}

/**
 * The whole-container problem as a mixed-integer program in LP format: s_i is the area sprayed by the end of load i,
 * x_i_j_k is 1 where product j's container k runs out there, within one measuring step; z is 1 where the first load only
 * sprays what was left in the tank.
 */
export function wholeContainersProgram(job: PlainJob): string {
	const rows: string[] = [];
	const bounds: string[] = [];
	const whole: string[] = [];
	const nothingNew = job.extraHa < 0 && job.firstLeastHa === -job.extraHa && job.loads > 1;
	for (let load = 1; load < job.loads; load++) {
		const after = job.loads - load;
		const from = Math.max(job.firstLeastHa + (load - 1) * job.leastHa, job.areaHa - after * job.mostHa);
		const to = Math.min(load * job.mostHa, job.areaHa - after * job.leastHa);
		bounds.push(`${from} <= s_${load} <= ${Math.max(from, to)}`);
		if (load > 1) {
			rows.push(`s_${load} - s_${load - 1} >= ${job.leastHa}`, `s_${load} - s_${load - 1} <= ${job.mostHa}`);
		}
		for (const [j, { dose, ends }] of job.products.entries()) {
			const inReach: string[] = [];
			for (const [k, end] of ends.entries()) {
				const early = (end - job.step) / dose - job.extraHa - 1e-9;
				const late = (end + job.step) / dose - job.extraHa + 1e-9;
				if (early > to || late < from) continue;
				const x = `x_${load}_${j}_${k}`;
				inReach.push(x);
				rows.push(`s_${load} - ${Math.max(0, early - from)} ${x} >= ${from}`);
				rows.push(`s_${load} + ${Math.max(0, to - late)} ${x} <= ${to}`);
			}
			whole.push(...inReach);
			if (load === 1 && nothingNew) inReach.push('z');
			if (inReach.length > 1) rows.push(`${inReach.join(' + ')} <= 1`);
		}
	}
	if (nothingNew) rows.push(`s_1 + ${job.mostHa} z <= ${job.firstLeastHa + job.mostHa}`);
	const terms = [...whole, ...(nothingNew ? [`${job.products.length} z`] : [])];
	const goal = terms.length > 0 ? terms.join(' + ') : '0 s_1';
	const constraints = rows.map((row, index) => ` r${index}: ${row}`).join('\n');
	return `Maximize\n obj: ${goal}\nSubject To\n${constraints || ' r: s_1 >= 0'}\nBounds\n${bounds.join('\n')}\nBinary\n ${whole.join(' ')}${nothingNew ? ' z' : ''}\nEnd\n`;
}

/** The fewest measured pours by an independent solver, proven optimal, or null where it gives up. */
export function fewestPoursBySolver(solver: Highs, job: PlainJob): number | null {
	const last = measuredPoursAt(job, [job.areaHa]);
	if (job.loads === 1) return last;
	const answer = solver.solve(wholeContainersProgram(job), { mip_rel_gap: 0, mip_abs_gap: 0 });
	if (answer.Status !== 'Optimal') return null;
	return last + (job.loads - 1) * job.products.length - Math.round(answer.ObjectiveValue);
}

/** The package's types describe its CommonJS build, where the loader stands one level deeper than in the module used. */
export function loadSolver(): Promise<Highs> {
	return (highsLoader as unknown as () => Promise<Highs>)();
}
