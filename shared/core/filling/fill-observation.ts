import type { Seconds } from '../../units/quantity.ts';
import { type FillStep, fillState, secondsOutside } from './fill-steps.ts';
import type { FillContainer } from './handling.ts';

/** What one fill teaches, from its steps. */
export type FillObservation = {
	readonly startedAt: number;
	readonly finishedAt: number;
	/** Seconds the inlet was open in all. */
	readonly runningS: Seconds;
	/** The stops on the way, each in seconds; shutting it for good is none. */
	readonly stopsS: readonly Seconds[];
	readonly containers: number;
	/** Time spent on containers that followed one of the same product; null where it teaches nothing. */
	readonly handlingS: Seconds | null;
	/** How many those were. */
	readonly handled: number | null;
};

/** Fewer say too little about the pace. Assumption. */
const LEAST_HANDLED = 2;

/**
 * The observation of one fill; null when it was never begun. It ends with its last step, or, with the inlet still
 * open, when it is logged.
 *
 *   one container [s] = Σ (done − the one before done − standing still) ÷ how many,   where both are the same product
 *
 * Counting from one done to the next needs no press when one is opened, and leaves out the wait for a product to disperse.
 * Only plain pouring teaches: closed transfer and bags have times of their own.
 */
export function observeFill(
	noted: readonly FillStep[],
	containers: readonly FillContainer[],
	loggedAt: number,
): FillObservation | null {
	const { steps, openedAt, begunAt, inletOpen, closed, done, haltedTimes } = fillState(noted);
	const startedAt = openedAt ?? begunAt;
	if (startedAt === null) return null;
	const lastAt = Math.max(...steps.map(({ at }) => at));
	const finishedAt = inletOpen ? Math.max(lastAt, loggedAt) : lastAt;
	const dones = steps.filter(({ what }) => what === 'container done').toSorted((a, b) => a.at - b.at);
	const containerOf = (step: FillStep | undefined) => containers[(step?.container ?? 0) - 1];
	const handledS = dones.flatMap((step, index) => {
		const before = dones[index - 1];
		const container = containerOf(step);
		const plain = (container?.method ?? 'pour') === 'pour';
		if (!before || !container || !plain || containerOf(before)?.product !== container.product) return [];
		return [secondsOutside(before.at, step.at, haltedTimes)];
	});
	const teaches = handledS.length >= LEAST_HANDLED;
	const handlingS = handledS.reduce((sum, each) => sum + each, 0);
	return {
		startedAt,
		finishedAt,
		runningS: openedAt === null ? 0 : secondsOutside(openedAt, finishedAt, closed),
		stopsS: closed.flatMap((span) => (span.to === null ? [] : [(span.to - span.from) / 1000])),
		containers: done.size,
		handlingS: teaches && handlingS > 0 ? handlingS : null,
		handled: teaches && handlingS > 0 ? handledS.length : null,
	};
}
