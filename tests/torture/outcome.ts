/** What a suite found. `good` null: it could not be run here, and the note says why. */
export type Outcome = {
	readonly suite: string;
	readonly good: boolean | null;
	readonly figures: Readonly<Record<string, number>>;
	/** What went wrong, or why it was not run. */
	readonly note?: string;
};

/** How much is tried: `quick` for a first look, `usual` for every release candidate, `long` for a night. */
export type Size = 'quick' | 'usual' | 'long';
export type Sizes = Readonly<Record<Size, number>>;

const SIGN = { true: 'ok    ', false: 'FAILED', null: 'SKIPPED' } as const;

/** One line of the table. */
export function lineOf({ suite, good, figures, note }: Outcome): string {
	const told = Object.entries(figures).map(([name, value]) => `${name} ${value}`);
	return [`${SIGN[`${good}`]} ${suite.padEnd(50)}`, ...told, ...(note ? [note] : [])].join('  ');
}
