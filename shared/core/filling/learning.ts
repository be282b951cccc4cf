import type { Litres, LitresPerMinute, Seconds } from '../../units/quantity.ts';
import { type LearnedRate, type RateObservation, robustRate } from './robust-rate.ts';

/** One logged fill. What was not logged is left out; the fill then teaches less. */
export type LoggedFill = {
	/** From the inlet first opened to the load ready. */
	readonly durationS: Seconds;
	readonly meteredL: Litres;
	/** How long the inlet was stopped, each time. */
	readonly stopsS: readonly Seconds[];
	readonly containers: number;
	/** From the first container opened to the last one done. */
	readonly handlingS?: Seconds | undefined;
	/** Meter readings at the first container opened and the last one done: the handling time follows where the inlet was stopped. */
	readonly openedAtMeterL?: Litres | undefined;
	readonly doneAtMeterL?: Litres | undefined;
	readonly operator?: string | undefined;
};

export type LearnedFilling = {
	inflowLPerMin: LearnedRate;
	/** `operator` where the estimate rests on that person's fills alone. */
	perContainerS: LearnedRate & { readonly operator: string | null };
};

/** From this many fills on, an operator's own pace is used instead of everyone's. */
const OWN_PACE_FROM = 15;

/**
 * Inflow and seconds per container of one sprayer, from its logged fills.
 *
 *   inflow = metered water ÷ (duration − stops),      one container = handling time ÷ containers
 *   handling time, where not logged = stops + (reading at the last − reading at the first container) ÷ inflow
 *
 * A fill without a stop and without a logged handling time teaches the inflow only: the handling hid behind the water.
 * Litres per minute and seconds, each with its standard error and the number of fills it rests on; without fills, the
 * settings. An operator's own pace counts once there are 15 fills of it.
 * Source: robust regression with the settings as starting belief, see `robust-rate.ts`.
 */
export function learnFilling(
	fills: readonly LoggedFill[],
	settings: { readonly inflowLPerMin: LitresPerMinute; readonly perContainerS: Seconds },
	operator: string | null = null,
): LearnedFilling {
	const perLitre = robustRate(fills.map(waterRun), 60 / settings.inflowLPerMin);
	const inflow = 60 / perLitre.estimate;
	const inflowLPerMin = { estimate: inflow, spread: (inflow * perLitre.spread) / perLitre.estimate, n: perLitre.n };

	const handled = fills.flatMap((fill) => handlingIn(fill, inflow));
	const own = handled.filter((fill) => fill.operator !== undefined && fill.operator === operator);
	const ownPace = own.length >= OWN_PACE_FROM;
	const pace = robustRate(ownPace ? own : handled, settings.perContainerS);
	return { inflowLPerMin, perContainerS: { ...pace, operator: ownPace ? operator : null } };
}

function stoppedS({ stopsS }: LoggedFill): Seconds {
	return stopsS.reduce((sum, stopS) => sum + stopS, 0);
}

function waterRun(fill: LoggedFill): RateObservation {
	return { took: fill.durationS - stoppedS(fill), per: fill.meteredL };
}

function handlingIn(fill: LoggedFill, inflowLPerMin: LitresPerMinute) {
	const { handlingS, openedAtMeterL, doneAtMeterL, containers, operator } = fill;
	if (handlingS !== undefined) return [{ took: handlingS, per: containers, operator }];
	if (fill.stopsS.length === 0 || openedAtMeterL === undefined || doneAtMeterL === undefined) return [];
	const runS = ((doneAtMeterL - openedAtMeterL) * 60) / inflowLPerMin;
	return [{ took: stoppedS(fill) + runS, per: containers, operator }];
}
