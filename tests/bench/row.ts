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
