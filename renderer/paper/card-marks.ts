import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { figure } from '../format.ts';
import { isCarriedOn, isNothingToFill, meteredVolumes, smallAmount } from '../held-words.ts';
import { stopsToMake } from '../pictures/fill.ts';
import { type Units, unitsIn } from '../units.ts';
import { gallons, isUsCard } from './us-words.ts';

/** One reading of the inlet meter at which the operator acts. */
export type Mark = {
	readonly reading: string;
	/** Where the head over them does not name it. */
	readonly unit?: string;
	readonly act: string;
	readonly level: string | null;
};

/** Readings that differ by less are one. */
const SAME_L = 1;

/**
 * The readings of the inlet meter in the order they come up: water before the first container, the stop if there is one,
 * all water in. Without a fill plan there is one figure, the water of the load.
 */
export function marksOf(card: LoadCard, units: Units = unitsIn.metric): Mark[] {
	const { fill, plan, startL, order } = card;
	if (isCarriedOn(plan)) {
		const what = card.kind === 'neat liquid' ? 'product' : 'mix';
		return [
			{ reading: reading(plan.carriedInL, units), act: `of this ${what} in the tank: nothing to fill`, level: null },
		];
	}
	const plain = withoutMix(card, units);
	if (plain) return plain;
	const stops = fill ? stopsToMake(fill) : [];
	const beforeFirst = startL - plan.carriedInL;
	const us = isUsCard(card) && units.units === 'metric';
	/** What a meter in gallons shows there, where the card is read in litres. */
	const besides = (litresL: number, level: string | null) =>
		us ? [gallons(litresL), level].filter(Boolean).join('. ') : level;
	const tankHolds = `The tank then holds ${units.volume(plan.totalL)}.`;
	if (stops.length === 0) {
		const { waterL } = meteredVolumes(plan);
		return [
			{
				reading: reading(waterL, units),
				act: card.carrier ? 'fertiliser in all' : 'water in all',
				level: besides(waterL, tankHolds),
			},
		];
	}
	const opens = order.length > 0 && beforeFirst >= SAME_L && startL < plan.totalL - SAME_L;
	// The inlet is shut before the level is reached by what the valve lets through: the stop is at the first container then.
	const merged = opens && stops.length > 1 && (stops[0]?.atMeterL ?? Infinity) < beforeFirst + SAME_L;
	const first: Mark[] =
		opens && !merged
			? [
					{
						reading: reading(beforeFirst, units),
						act: 'open the first container',
						level: besides(beforeFirst, onScale(startL, plan.carriedInL, units)),
					},
				]
			: [];
	return [
		...first,
		...stops.map(({ atMeterL, tankL, why }, index): Mark => {
			const last = index === stops.length - 1;
			const here = merged && index === 0 ? 'open the first container here; ' : '';
			const said = card.carrier ? why.replace('water', 'fertiliser') : why;
			const act = last ? `${here}shut the meter: ${said}` : `${here}${said}`;
			return {
				reading: reading(atMeterL, units),
				act: units.say(act),
				level: besides(atMeterL, last ? tankHolds : `Tank scale without a meter: ${units.volume(tankL)}.`),
			};
		}),
	];
}

/** The figures of a load for which no tank is mixed; null where one is. */
function withoutMix({ kind, plan, seed: treated }: LoadCard, units: Units): Mark[] | null {
	const plainIn = (value: number | undefined, unit: string) => plainFigure(value, unit, units);
	const fillAmount = units.units === 'metric' ? smallAmount : units.amount;
	const kg = units.name('kg');
	if (kind === 'granules') {
		const { hopperKg = 0, inHopperKg = 0 } = plan;
		if (isNothingToFill(plan)) {
			return [
				{ reading: plainIn(inHopperKg, 'kg'), unit: kg, act: 'in the hopper already: nothing to fill', level: null },
			];
		}
		const level =
			inHopperKg > 0
				? `${plainIn(inHopperKg, 'kg')} ${kg} are in it already; it then holds ${plainIn(hopperKg, 'kg')} ${kg}.`
				: null;
		return [{ reading: plainIn(hopperKg - inHopperKg, 'kg'), unit: kg, act: 'into the hopper', level }];
	}
	if (kind === 'seed treatment') {
		const unit = treated?.unit === 'unit' ? 'units' : 'kg';
		const seed = {
			reading: plainIn(plan.seed, unit),
			unit: units.name(unit),
			act: 'seed of this batch, weighed',
			level: null,
		};
		if (plan.slurryL === undefined) return [seed];
		const level = `With the products ${plainIn(plan.slurryL, 'L')} ${units.name('L')} of slurry in all.`;
		return [
			seed,
			{ reading: plainIn(plan.waterL, 'L'), unit: units.name('L'), act: 'water, measured, in first', level },
		];
	}
	if (kind === 'closed space') {
		const unit = plan.spaceUnit ?? '';
		const level =
			plan.totalL > 0
				? units.say(`In ${litresWith(plan.totalL)} L of mix: ${litresWith(plan.waterL)} L of water.`)
				: null;
		return [
			{ reading: plainIn(plan.space, unit), unit: units.name(unit), act: 'to treat', level },
			...(plan.fills ?? []).map(({ count, mixL, waterL, amounts }): Mark => {
				const poured = plan.products.map((line, index) => `${fillAmount(amounts[index] ?? 0, line.unit)} ${line.name}`);
				return {
					reading: plainIn(mixL, 'L'),
					unit: units.name('L'),
					act: count === 1 ? 'the last fill' : `${count} fills of the applicator`,
					level: `In ${count === 1 ? 'it' : 'each'} ${units.figure(waterL, 'L', 2)} ${units.name('L')} of water, ${poured.join(', ')}.`,
				};
			}),
		];
	}
	if (kind !== 'neat liquid') return null;
	return [
		{
			reading: reading(plan.newMixL, units),
			act: 'product in all, no water',
			level: `The tank then holds ${units.volume(plan.totalL)}.`,
		},
	];
}

/** Small amounts are made up by the tenth of a litre. */
function litresWith(value: number): string {
	return figure(value, value < 100 && !Number.isInteger(value) ? 1 : 0);
}

/** Hundredths; a pound or a square foot is less than a kilogram or a square metre, so of many of them fewer decimals. */
function plainFigure(metric = 0, unit: string, { units, value }: Units): string {
	const shown = value(metric, unit);
	const parts = units === 'metric' || shown < 100 ? 100 : shown < 1000 ? 10 : 1;
	return String(Math.round(shown * parts) / parts);
}

/** What the readings are of: the head over them. */
export function marksHead({ kind, carrier, plan }: LoadCard, units: Units = unitsIn.metric): string {
	const unit = units.units === 'metric' ? 'litres' : 'gallons';
	if (kind === 'granules') return 'Granules for this fill';
	if (kind === 'seed treatment') {
		return plan.slurryL === undefined ? 'Seed for this batch' : 'Seed and water for this batch';
	}
	if (kind === 'closed space') return spaceHeads[plan.spaceUnit ?? 'm³'];
	if (isCarriedOn(plan)) return `Left from the load before, in ${unit}`;
	if (kind === 'neat liquid') return `Metered product in ${unit}, from zero`;
	if (!carrier) return `Metered water in ${unit}, from zero`;
	const water = plan.waterL > 0.5 ? `, ${units.volume(plan.waterL)} of it water` : '';
	return `Metered ${carrier.name} in ${unit}, from zero${water}`;
}

const spaceHeads = {
	'm³': 'Air space of this treatment',
	'm²': 'Surface of this treatment',
	t: 'Stored crop of this treatment',
} as const;

/** The tank's own scale, where it shows something else than the meter. */
function onScale(tankL: number, carriedInL: number, { volume }: Units): string | null {
	return carriedInL >= SAME_L ? `Tank scale without a meter: ${volume(tankL)}.` : null;
}

/**
 * As a meter shows it, without a mark between thousands, which half of the world reads as a decimal: whole litres;
 * gallons with their tenth, as beside the tank.
 */
function reading(litresL: number, { units, litres }: Units): string {
	return units === 'metric' ? String(Math.round(litresL)) : litres(litresL).replaceAll(',', '');
}
