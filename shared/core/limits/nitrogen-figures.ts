import { sameName } from './limit.ts';

/** A published figure to start from; the grower's own rules may set another. */
export type NitrogenFigure = { readonly crop: string; readonly eppoCodes: readonly string[]; readonly kgPerHa: number };

/**
 * Kilograms of nitrogen per hectare and year that the nitrate rules of England allow a crop as the mean over all its fields,
 * manufactured fertiliser and crop-available nitrogen of manure together, before what is added for yield, shallow soil,
 * milling wheat, straw or cuts. A field that keeps below it keeps the mean, one above it need not break it: such a figure
 * warns.
 * Source: Environment Agency, *Using nitrogen fertilisers in nitrate vulnerable zones* (read as of August 2022); Defra,
 * PB12736g, leaflet 7, 2009, on the mean. Which EPPO code is meant: from memory.
 */
export const englishNitrogenMaxima: readonly NitrogenFigure[] = [
	{ crop: 'winter wheat', eppoCodes: ['TRZAW'], kgPerHa: 220 },
	{ crop: 'spring wheat', eppoCodes: ['TRZAS'], kgPerHa: 180 },
	{ crop: 'winter barley', eppoCodes: ['HORVW'], kgPerHa: 180 },
	{ crop: 'spring barley', eppoCodes: ['HORVS'], kgPerHa: 150 },
	{ crop: 'winter oilseed rape', eppoCodes: ['BRSNW'], kgPerHa: 250 },
	{ crop: 'sugar beet', eppoCodes: ['BEAVA'], kgPerHa: 120 },
	{ crop: 'potatoes', eppoCodes: ['SOLTU'], kgPerHa: 270 },
	{ crop: 'field beans', eppoCodes: ['VICFX'], kgPerHa: 0 },
	{ crop: 'peas', eppoCodes: ['PIBSX'], kgPerHa: 0 },
];

export const ENGLISH_MAXIMA_SOURCE = 'England, nitrate zones: mean of the crop';

/** The figure for a crop, by its EPPO code or its name; null where none is published for it. */
export function englishNitrogenMax(crop: readonly string[]): NitrogenFigure | null {
	return (
		englishNitrogenMaxima.find((figure) =>
			[figure.crop, ...figure.eppoCodes].some((name) => crop.some((designation) => sameName(designation, name))),
		) ?? null
	);
}
