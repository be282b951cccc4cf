import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { litres } from '../format.ts';
import { meteredVolumes } from '../held-words.ts';

/** One reading of the inlet meter at which the operator acts. */
export type Mark = { readonly reading: string; readonly act: string; readonly level: string | null };

/** Readings that differ by less are one. */
const SAME_L = 1;

/**
 * The readings of the inlet meter in the order they come up: water before the first container, the stop if there is one,
 * all water in. Without a fill plan there is one figure, the water of the load.
 */
export function marksOf(card: LoadCard): Mark[] {
	const { fill, plan, startL, order } = card;
	const plain = withoutMix(card);
	if (plain) return [plain];
	const stops = fill?.meterStops ?? [];
	const beforeFirst = startL - plan.carriedInL;
	const tankHolds = `The tank then holds ${litres(plan.totalL)} L.`;
	if (stops.length === 0) {
		const { waterL } = meteredVolumes(plan);
		return [{ reading: reading(waterL), act: card.carrier ? 'fertiliser in all' : 'water in all', level: tankHolds }];
	}
	const opens = order.length > 0 && beforeFirst >= SAME_L && startL < plan.totalL - SAME_L;
	const merged = opens && stops.some(({ atMeterL }) => Math.abs(atMeterL - beforeFirst) < SAME_L);
	const first: Mark[] =
		opens && !merged
			? [{ reading: reading(beforeFirst), act: 'open the first container', level: onScale(startL, plan.carriedInL) }]
			: [];
	return [
		...first,
		...stops.map(({ atMeterL, tankL, why }, index): Mark => {
			const last = index === stops.length - 1;
			const here = merged && Math.abs(atMeterL - beforeFirst) < SAME_L ? 'open the first container here; ' : '';
			const act = last ? `${here}shut the meter: ${why}` : `${here}${why}`;
			return {
				reading: reading(atMeterL),
				act,
				level: last ? tankHolds : `Tank scale without a meter: ${litres(tankL)} L.`,
			};
		}),
	];
}

/** The one figure of a load for which nothing is mixed; null where something is. */
function withoutMix({ kind, plan }: LoadCard): Mark | null {
	if (kind === 'granules') {
		const { hopperKg = 0, inHopperKg = 0 } = plan;
		const level =
			inHopperKg > 0
				? `${plainFigure(inHopperKg)} kg are in it already; it then holds ${plainFigure(hopperKg)} kg.`
				: null;
		return { reading: plainFigure(hopperKg - inHopperKg), act: 'into the hopper', level };
	}
	if (kind === 'seed treatment')
		return { reading: plainFigure(plan.seed), act: 'seed of this batch, weighed', level: null };
	if (kind !== 'neat liquid') return null;
	return {
		reading: reading(plan.newMixL),
		act: 'product in all, no water',
		level: `The tank then holds ${litres(plan.totalL)} L.`,
	};
}

function plainFigure(value = 0): string {
	return String(Math.round(value * 100) / 100);
}

/** What the readings are of: the head over them, and their unit. */
export function marksHead({ kind, carrier, plan, seed }: LoadCard): { readonly head: string; readonly unit: string } {
	if (kind === 'granules') return { head: 'Granules for this fill', unit: 'kg' };
	if (kind === 'seed treatment') return { head: 'Seed for this batch', unit: seed?.unit === 'unit' ? 'units' : 'kg' };
	if (kind === 'neat liquid') return { head: 'Metered product in litres, from zero', unit: 'L' };
	if (!carrier) return { head: 'Metered water in litres, from zero', unit: 'L' };
	const water = plan.waterL > 0.5 ? `, ${litres(plan.waterL)} L of it water` : '';
	return { head: `Metered ${carrier.name} in litres, from zero${water}`, unit: 'L' };
}

/** The tank's own scale, where it shows something else than the meter. */
function onScale(tankL: number, carriedInL: number): string | null {
	return carriedInL >= SAME_L ? `Tank scale without a meter: ${litres(tankL)} L.` : null;
}

/** As a meter shows it: whole litres without a mark between thousands, which half of the world reads as a decimal. */
function reading(litresL: number): string {
	return String(Math.round(litresL));
}
