/** `npm run bench`: what the program takes beside a reference in the same run. The ratio is the figure; times depend on the machine. */
import { areaRow, boundaryCheckRow } from './area.bench.ts';
import { logLoadRow } from './log-load.bench.ts';
import { planRow } from './plan.bench.ts';
import type { BenchRow } from './row.ts';

const benches: readonly (() => BenchRow | Promise<BenchRow>)[] = [areaRow, boundaryCheckRow, planRow, logLoadRow];

console.log(`${'what'.padEnd(44)}${'ours ms'.padStart(10)}${'reference'.padStart(12)}${'ratio'.padStart(9)}`);
for (const bench of benches) {
	const { name, ours, reference, ratio, note } = await bench();
	console.log(
		`${name.padEnd(44)}${shown(ours).padStart(10)}${shown(reference).padStart(12)}${shown(ratio).padStart(9)}   ${note}`,
	);
}

function shown(value: number): string {
	return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}
