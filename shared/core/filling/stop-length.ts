import type { Seconds } from '../../units/quantity.ts';

/** A stop of the inlet no longer than this is not asked for: shutting and opening takes as long. Assumption. */
const NOT_WORTH_S = 10;

/** Nobody shuts an inlet for 4 s more or less: said in tens of seconds. */
const SAID_IN_S = 10;

/** Whether a stop of this length is one to ask for. */
export function worthStopping(seconds: Seconds): boolean {
	return seconds > NOT_WORTH_S;
}

/** A stop as it is said: the next ten seconds, since a longer one does no harm. */
export function saidStop(seconds: Seconds): Seconds {
	return Math.ceil(Math.round(seconds) / SAID_IN_S) * SAID_IN_S;
}
