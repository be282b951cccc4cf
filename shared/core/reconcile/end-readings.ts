import type { Hectares, Litres } from '../../units/quantity.ts';

/** What the sprayer's own counters said at the end of a job; `washings` is what they ran on for beside the job. */
export type EndReadings = {
	readonly sprayedHa: Hectares | null;
	readonly controllerL: Litres | null;
	readonly washings?: { readonly litres: Litres; readonly areaHa: Hectares } | null | undefined;
};

/**
 * The readings of the job alone, without the washings that went through the same counters:
 *
 *   litres of the mix = litres read − litres of washings;   area of the job = area read − ground of washings
 *
 * Never below zero; null where nothing was read. Washings are water for the most part, over ground that is sprayed
 * already: left in, rate and meter would look wrong by them. Source: mass conservation.
 */
export function readingsOfTheJob({ sprayedHa, controllerL, washings }: EndReadings): {
	readonly counterHa: Hectares | null;
	readonly controllerL: Litres | null;
} {
	return {
		counterHa: sprayedHa === null ? null : Math.max(0, sprayedHa - (washings?.areaHa ?? 0)),
		controllerL: controllerL === null ? null : Math.max(0, controllerL - (washings?.litres ?? 0)),
	};
}
