import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { needsTank } from '../../shared/core/loads/application-kind.ts';
import { isUsCustomary } from '../../shared/core/loads/dose-units.ts';
import {
	BAR_PER_PSI,
	KG_PER_POUND,
	KM_PER_MILE,
	L_PER_US_FLUID_OUNCE,
	L_PER_US_GALLON,
	litresPerHectareToGallonsPerAcre,
} from '../../shared/core/sprayers/us-customary.ts';
import { M2_PER_ACRE, M2_PER_HECTARE } from '../../shared/units/area.ts';
import { figure } from '../format.ts';
import { type Units, unitsIn } from '../units.ts';

/** A card whose doses are given as US labels give them is read beside US meters and jugs: on a metric farm it says both. */
export function isUsCard({ order }: Pick<LoadCard, 'order'>): boolean {
	return order.some(({ dose }) => isUsCustomary(dose.unit));
}

/** `594 gal` */
export function gallons(litres: number): string {
	return `${figure(litres / L_PER_US_GALLON)} gal`;
}

/** `2.4 gal`, below a quart `12 fl oz`; `1.5 lb`, below a pound `7.25 oz`. */
export function usAmount(amount: number, unit: string): string {
	const short = (value: number) => String(Number(value.toPrecision(3)));
	if (unit === 'kg') {
		const pounds = amount / KG_PER_POUND;
		return pounds < 1 ? `${short(pounds * 16)} oz` : `${short(pounds)} lb`;
	}
	const fluidOunces = amount / L_PER_US_FLUID_OUNCE;
	return fluidOunces < 32 ? `${short(fluidOunces)} fl oz` : `${short(fluidOunces / 128)} gal`;
}

/**
 * How figures read on paper and where things are measured out: `12 dry oz` of what is weighed, so that nobody takes it for the `12 fl oz` of the line
 * beside it. US labels say so too (from memory).
 */
export function withDryOunces(units: Units): Units {
	if (units.units === 'metric') return units;
	return {
		...units,
		amount: (value, unit) => dryOunces(units.amount(value, unit)),
		say: (sentence) => dryOunces(units.say(sentence)),
	};
}

const BARE_OUNCES = /(?<=\d )oz\b/g;

function dryOunces(text: string): string {
	return text.replace(BARE_OUNCES, 'dry oz');
}

/** `79.2 ac · 1,188 gal · 15 gal/ac · 14 mph · 40 psi`: what the machine is set by, once more; empty where it is not asked for or stands there already. */
export function usSettings(card: LoadCard, units: Units = unitsIn.metric): string {
	if (!isUsCard(card) || units.units !== 'metric') return '';
	const { plan, speedKmh, pressureBar, sprayVolumeLPerHa } = card;
	const parts = [`${figure((plan.areaHa * M2_PER_HECTARE) / M2_PER_ACRE, 1)} ac`];
	if (needsTank(card.kind)) {
		parts.push(gallons(plan.totalL), `${figure(litresPerHectareToGallonsPerAcre(sprayVolumeLPerHa), 1)} gal/ac`);
	}
	if (speedKmh !== null) parts.push(`${figure(speedKmh / KM_PER_MILE, 1)} mph`);
	if (needsTank(card.kind) && pressureBar !== null) parts.push(`${figure(pressureBar / BAR_PER_PSI)} psi`);
	return parts.join(' · ');
}
