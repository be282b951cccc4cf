import type { LitresPerMinute } from '../../units/quantity.ts';

export type NozzleVerdict = 'ok' | 'warn' | 'fail';
export type NozzleCheck = {
	lPerMin: number;
	fromMeanPercent: number;
	/** Null where no nominal output is known. */
	fromNominalPercent: number | null;
	verdict: NozzleVerdict;
};

/** Alberta Agdex 606-1; University of Nebraska: replace a nozzle more than 5 % from the average of the boom. */
const WARN_FROM_MEAN_PERCENT = 5;
/** University of Nebraska: each within 10 % of the maker's rating; ISO 16122-2 (from memory) inspects at the same limit. */
const FAIL_FROM_NOMINAL_PERCENT = 10;
/** Keeps a catch that is exactly on a limit inside it, whatever the last digit of the division. */
const LAST_DIGITS = 1e-9;

/**
 * The nozzle check: how far each catch is from the mean of the boom and from the nominal output.
 *
 *   from mean [%] = (catch ÷ mean − 1) × 100,     from nominal [%] = (catch ÷ nominal − 1) × 100
 *
 * `fail` more than 10 % from nominal, `warn` more than 5 % from the mean, else `ok`. The catches must not all be zero.
 * Source: see the limits above.
 */
export function checkNozzles(
	catchesLPerMin: readonly LitresPerMinute[],
	nominalLPerMin: LitresPerMinute | null,
): NozzleCheck[] {
	const mean = meanOf(catchesLPerMin) ?? Number.NaN;
	return catchesLPerMin.map((lPerMin) => {
		const fromMeanPercent = percentFrom(lPerMin, mean);
		const fromNominalPercent = nominalLPerMin === null ? null : percentFrom(lPerMin, nominalLPerMin);
		return { lPerMin, fromMeanPercent, fromNominalPercent, verdict: verdictOf(fromMeanPercent, fromNominalPercent) };
	});
}

/** The mean catch; undefined when there is none. */
export function meanOf(catchesLPerMin: readonly LitresPerMinute[]): number | undefined {
	if (catchesLPerMin.length === 0) return undefined;
	return catchesLPerMin.reduce((sum, lPerMin) => sum + lPerMin, 0) / catchesLPerMin.length;
}

function percentFrom(value: number, reference: number): number {
	return (value / reference - 1) * 100;
}

function verdictOf(fromMeanPercent: number, fromNominalPercent: number | null): NozzleVerdict {
	if (fromNominalPercent !== null && Math.abs(fromNominalPercent) > FAIL_FROM_NOMINAL_PERCENT + LAST_DIGITS)
		return 'fail';
	return Math.abs(fromMeanPercent) > WARN_FROM_MEAN_PERCENT + LAST_DIGITS ? 'warn' : 'ok';
}
