import { M2_PER_ACRE, M2_PER_HECTARE } from '../../units/area.ts';
import type { Hectares } from '../../units/quantity.ts';

/** What went wrong with the mapped figure's unit, and the factor that puts it right; null where no factor can. */
export type MixUp = { readonly say: string; readonly toHectares: number | null };

/** International foot, 1959, exact. */
const M2_PER_SQUARE_FOOT = 0.3048 ** 2;
const ACRES_PER_HECTARE = M2_PER_HECTARE / M2_PER_ACRE;

const knownMixUps: readonly { readonly say: string; readonly toHectares: number }[] = [
	{ say: 'square metres read as hectares', toHectares: 1 / M2_PER_HECTARE },
	{ say: 'hectares read as square metres', toHectares: M2_PER_HECTARE },
	{ say: 'acres read as hectares', toHectares: 1 / ACRES_PER_HECTARE },
	{ say: 'hectares read as acres', toHectares: ACRES_PER_HECTARE },
	{ say: 'square feet read as hectares', toHectares: M2_PER_SQUARE_FOOT / M2_PER_HECTARE },
	{ say: 'ares read as hectares', toHectares: 1 / 100 },
	{ say: 'square kilometres read as hectares, or hectares as ares', toHectares: 100 },
	{ say: 'decares read as hectares', toHectares: 1 / 10 },
	{ say: 'hectares read as decares', toHectares: 10 },
];

/** How near the figure put right must come to the measured one: declared areas spread by up to 2 %, small fields by more. */
const RECOGNISED_WITHIN = 0.1;

/**
 * A square degree is 1.24 million ha at the equator (111.3 km each way) and shrinks with the cosine of latitude, to a third
 * of that at 70°. A figure in square degrees is this share of the hectares; the bounds leave a tenth to spare.
 */
const SQUARE_DEGREES_PER_HECTARE = { least: 0.9 / 1.24e6, most: 1.1 / (1.24e6 * Math.cos((70 * Math.PI) / 180)) };

/**
 * Whether the mapped figure is the measured one in another unit or from another column.
 *
 * Compares mapped ÷ measured with the ratios of the usual mix-ups and takes the nearest within 10 %. Square degrees (the
 * area column some map programs write) can be told, but not put right without the latitude: their factor is null.
 */
export function recogniseMixUp(measuredHa: Hectares, mappedHa: Hectares): MixUp | null {
	if (!(measuredHa > 0) || !(mappedHa > 0)) return null;
	const ratio = mappedHa / measuredHa;
	let best: MixUp | null = null;
	let nearest = RECOGNISED_WITHIN;
	for (const mixUp of knownMixUps) {
		const apart = Math.abs(ratio * mixUp.toHectares - 1);
		if (apart <= nearest) {
			nearest = apart;
			best = mixUp;
		}
	}
	if (best) return best;
	const squareDegrees = ratio >= SQUARE_DEGREES_PER_HECTARE.least && ratio <= SQUARE_DEGREES_PER_HECTARE.most;
	return squareDegrees ? { say: 'square degrees read as hectares: the column is no area', toHectares: null } : null;
}
