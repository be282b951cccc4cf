import { ok, type Result, refuse } from '../../basics/result.ts';
import type { SquareMetres } from '../../units/quantity.ts';

export type AreaToLoadForInput = {
	readonly measuredM2: SquareMetres;
	/** Each without ground that another strip or an obstacle takes up (`noSprayStrip`, `without`). */
	readonly strips: readonly { readonly label: string; readonly areaM2: SquareMetres }[];
	readonly obstacles: readonly { readonly label: string; readonly areaM2: SquareMetres }[];
};

/**
 * The ground that spray is mixed for.
 *
 *   area to load for = measured boundary − no-spray strips − obstacles
 *
 * Refuses `strip.nothingLeft` where nothing remains. Source: common practice; the treated ground, not the machine's count.
 */
export function areaToLoadFor({ measuredM2, strips, obstacles }: AreaToLoadForInput): Result<{
	readonly loadForM2: SquareMetres;
	readonly leftOutM2: SquareMetres;
}> {
	const leftOutM2 = [...strips, ...obstacles].reduce((sum, { areaM2 }) => sum + areaM2, 0);
	const loadForM2 = measuredM2 - leftOutM2;
	if (!(loadForM2 > 0)) {
		return refuse('strip.nothingLeft', { leftOutM2: Math.round(leftOutM2), measuredM2: Math.round(measuredM2) });
	}
	return ok({ loadForM2, leftOutM2 });
}
