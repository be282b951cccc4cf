/** `npm run bench`: what the program takes beside a reference in the same run. The ratio is the figure; times depend on the machine. */
import { areaRow, boundaryCheckRow } from './area.bench.ts';
import { importRow } from './import.bench.ts';
import { logLoadRow } from './log-load.bench.ts';
import { mapRows } from './map.bench.ts';
import { planRow } from './plan.bench.ts';
import { reportRows } from './reports.bench.ts';
import type { BenchRow } from './row.ts';
import { storeRows } from './store.bench.ts';

const benches: readonly (() => BenchRow | Promise<BenchRow | readonly BenchRow[]>)[] = [
	...[areaRow, boundaryCheckRow, importRow, planRow, logLoadRow, storeRows, mapRows, reportRows],
];

console.log(`${'what'.padEnd(44)}${'ours ms'.padStart(10)}${'reference'.padStart(12)}${'ratio'.padStart(9)}`);
for (const bench of benches) {
	for (const { name, ours, reference, ratio, note } of [await bench()].flat()) {
		console.log(
			`${name.padEnd(44)}${shown(ours).padStart(10)}${shown(reference).padStart(12)}${shown(ratio).padStart(9)}   ${note}`,
		);
	}
}

function shown(value: number | null): string {
	if (value === null) return '–';
	return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}
