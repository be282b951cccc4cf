import type { Hectares, SquareMetres } from './quantity.ts';

export const M2_PER_HECTARE = 10_000;

/** International acre, 1959: 43,560 ft² at 0.3048 m, exact. */
export const M2_PER_ACRE = 43_560 * 0.3048 ** 2;

/** US survey acre: 43,560 ft² at 1200/3937 m, exact. */
export const M2_PER_US_SURVEY_ACRE = 43_560 * (1200 / 3937) ** 2;

/** Hectares → square metres. */
export function toSquareMetres(area: Hectares): SquareMetres {
	return area * M2_PER_HECTARE;
}

/** Square metres → hectares. */
export function toHectares(area: SquareMetres): Hectares {
	return area / M2_PER_HECTARE;
}

/** International foot, 0.3048 m, and US survey foot, 1200/3937 m, squared; both exact by definition. */
export const M2_PER_UNIT = {
	ha: M2_PER_HECTARE,
	m2: 1,
	ac: M2_PER_ACRE,
	acUS: M2_PER_US_SURVEY_ACRE,
	ft2: 0.3048 ** 2,
	ftUS2: (1200 / 3937) ** 2,
	km2: 1_000_000,
} as const;
export type AreaUnit = keyof typeof M2_PER_UNIT;
