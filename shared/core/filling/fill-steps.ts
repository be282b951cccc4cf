import type { Litres, LitresPerMinute, Seconds } from '../../units/quantity.ts';

/** What is noted while a tank is being filled, each with one press. */
export const stepKinds = [
	'begun',
	'inlet opened',
	'inlet stopped',
	'container done',
	'meter read',
	'everything stopped',
	'went on',
	'started over',
	'undo',
] as const;
export type StepKind = (typeof stepKinds)[number];

/** One step as it was noted. `at` in milliseconds; steps only grow, so taking one back is a step too. */
export type FillStep = {
	readonly id: string;
	readonly at: number;
	readonly what: StepKind;
	/** Which container is done, counted from 1: pressed twice, or on two devices, it is one container. */
	readonly container: number | null;
	readonly meteredL: Litres | null;
	/** The step that an undo takes back. */
	readonly undoes: string | null;
};

export type Closed = { readonly from: number; readonly to: number | null };

/** A fill as its steps tell it. */
export type FillState = {
	readonly steps: readonly FillStep[];
	readonly openedAt: number | null;
	/** When a fill without an inlet was begun: a hopper, a batch of seed. */
	readonly begunAt: number | null;
	readonly inletOpen: boolean;
	/** Everything stands still after foam, an overflow or another trouble. */
	readonly halted: boolean;
	readonly done: ReadonlySet<number>;
	readonly lastDoneAt: number | null;
	/** When the inlet was shut, the last one perhaps still. */
	readonly closed: readonly Closed[];
	readonly haltedTimes: readonly Closed[];
};

/** The steps that stand, in the order noted: without what was taken back, and from the last fresh start on. */
export function standingSteps(steps: readonly FillStep[]): FillStep[] {
	const undone = new Set(steps.map(({ undoes }) => undoes));
	const kept = steps.filter(({ id, what }) => what !== 'undo' && !undone.has(id));
	return kept.slice(kept.findLastIndex(({ what }) => what === 'started over') + 1);
}

/** Where the fill stands after its steps. */
export function fillState(noted: readonly FillStep[]): FillState {
	const steps = standingSteps(noted);
	const openedAt = steps.find(({ what }) => what === 'inlet opened')?.at ?? null;
	const dones = steps.filter(({ what }) => what === 'container done');
	const closed = openedAt === null ? [] : spans(steps, ['inlet stopped', 'everything stopped'], ['inlet opened']);
	const haltedTimes = spans(steps, ['everything stopped'], ['went on']);
	return {
		steps,
		openedAt,
		begunAt: steps.find(({ what }) => what === 'begun')?.at ?? null,
		inletOpen: openedAt !== null && closed.at(-1)?.to !== null,
		halted: haltedTimes.at(-1)?.to === null,
		done: new Set(dones.flatMap(({ container }) => container ?? [])),
		lastDoneAt: dones.at(-1)?.at ?? null,
		closed,
		haltedTimes,
	};
}

/** Why a step cannot follow on what is noted already, or null: it says a thing twice, or takes back what does not stand. */
export function stepStands(noted: readonly FillStep[], step: Omit<FillStep, 'id' | 'at'>, containers: number): boolean {
	const { begunAt, inletOpen, halted, done, steps } = fillState(noted);
	if (step.what === 'begun') return begunAt === null;
	if (step.what === 'inlet opened') return !inletOpen && !halted;
	if (step.what === 'inlet stopped') return inletOpen;
	if (step.what === 'everything stopped') return !halted;
	if (step.what === 'went on') return halted;
	if (step.what === 'undo') return steps.some(({ id }) => id === step.undoes);
	if (step.what !== 'container done') return true;
	const { container } = step;
	return container !== null && container >= 1 && container <= containers && !done.has(container);
}

/** Seconds between two moments that do not fall into any of the spans. */
export function secondsOutside(from: number, to: number, spansOut: readonly Closed[]): Seconds {
	const out = spansOut.reduce(
		(sum, span) => sum + Math.max(0, Math.min(to, span.to ?? to) - Math.max(from, span.from)),
		0,
	);
	return Math.max(0, to - from - out) / 1000;
}

/**
 * What has run through the inlet by now, from the last reading of the meter or from the start.
 *
 *   metered = reading + inflow × seconds the inlet was open since
 *
 * Litres; an estimate, for the meter itself is not connected.
 */
export function meteredBy(state: FillState, inflowLPerMin: LitresPerMinute, now: number): Litres {
	if (state.openedAt === null) return 0;
	const reading = state.steps.findLast(({ what, meteredL }) => what === 'meter read' && meteredL !== null);
	const from = reading?.at ?? state.openedAt;
	return (reading?.meteredL ?? 0) + (secondsOutside(from, now, state.closed) * inflowLPerMin) / 60;
}

/** Spans that one kind of step begins and another ends; what is begun twice is one span. */
function spans(steps: readonly FillStep[], begin: readonly StepKind[], end: readonly StepKind[]): Closed[] {
	const found: { from: number; to: number | null }[] = [];
	for (const { what, at } of steps) {
		const open = found.at(-1)?.to === null ? found.at(-1) : undefined;
		if (begin.includes(what) && !open) found.push({ from: at, to: null });
		if (end.includes(what) && open) open.to = Math.max(open.from, at);
	}
	return found;
}
