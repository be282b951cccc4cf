/** One line of the bench: our time beside a reference's for the same work, in milliseconds; the best of several runs. */
export type BenchRow = {
	readonly name: string;
	readonly ours: number;
	/** Null where the reference is not installed. */
	readonly reference: number | null;
	/** ours ÷ reference. */
	readonly ratio: number | null;
	readonly note: string;
};

const RUNS = 5;

/** The best of five runs, after one to warm up: the machine's other work only ever adds time. */
export function bestMs(work: () => unknown): number {
	work();
	let best = Number.POSITIVE_INFINITY;
	for (let run = 0; run < RUNS; run++) {
		const start = performance.now();
		work();
		best = Math.min(best, performance.now() - start);
	}
	return best;
}

/** The median of so many runs, after one to warm up: what a person waits for as a rule. */
export function medianMs(work: () => unknown, runs = 21): number {
	work();
	const times = Array.from({ length: runs }, () => {
		const start = performance.now();
		work();
		return performance.now() - start;
	}).sort((a, b) => a - b);
	return times[Math.floor(runs / 2)] ?? Number.NaN;
}

/** The same for work that is waited for. */
export async function bestMsOf(work: () => Promise<unknown>): Promise<number> {
	await work();
	let best = Number.POSITIVE_INFINITY;
	for (let run = 0; run < RUNS; run++) {
		const start = performance.now();
		await work();
		best = Math.min(best, performance.now() - start);
	}
	return best;
}
