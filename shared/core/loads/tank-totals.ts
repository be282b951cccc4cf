import type { Hectares, Litres } from '../../units/quantity.ts';
import type { TankLimits } from './tank-limits.ts';

/**
 * Full tanks, then the remainder.
 *
 *   in the tank at load i = min(capacity, what is still to come − minimum × loads still to come)
 *
 * Gives the litres standing in the tank at each load. Where the remainder would stay under the sprayer's minimum, the
 * loads before it give up what it lacks, the last of them first.
 */
export function fullTankTotals(limits: TankLimits): Litres[] {
	const least = Math.max(limits.smallestL, limits.unsprayableL);
	const totals: Litres[] = [];
	let standing = limits.areaHa * limits.sprayVolumeLPerHa + limits.loads * limits.unsprayableL;
	for (let load = 1; load <= limits.loads; load++) {
		const total = Math.min(limits.capacityL, standing - (limits.loads - load) * least);
		totals.push(withoutNoise(total));
		standing -= total;
	}
	return totals;
}

/**
 * Equal loads: every load sprays the same area, so the same litres stand in the tank each time.
 *
 *   in the tank = area × spray volume ÷ loads + unsprayable
 *
 * The new mix of the first load differs by what was left in the tank before and by the unsprayable litres. Where more
 * than an equal share was left in the tank, the first load is that, and the others are equal.
 */
export function evenTankTotals(limits: TankLimits): Litres[] {
	const standing = limits.areaHa * limits.sprayVolumeLPerHa + limits.loads * limits.unsprayableL;
	const share = standing / limits.loads;
	const first = Math.max(share, limits.leftInTankL);
	const others = limits.loads > 1 ? (standing - first) / (limits.loads - 1) : 0;
	return Array.from({ length: limits.loads }, (_, load) => withoutNoise(load === 0 ? first : others));
}

/**
 * Loads that end after given areas.
 *
 *   in the tank at load i = (sprayed up to load i − sprayed up to load i − 1) × spray volume + unsprayable
 *
 * Takes the area sprayed by the end of each load, the last one being the whole job.
 */
export function tankTotalsOf(sprayedHa: readonly Hectares[], limits: TankLimits): Litres[] {
	return sprayedHa.map((sprayed, load) => {
		const area = sprayed - (sprayedHa[load - 1] ?? 0);
		const total = withoutNoise(area * limits.sprayVolumeLPerHa + limits.unsprayableL);
		return Math.min(limits.capacityL, Math.max(limits.smallestL, total));
	});
}

/** Litres to the nearest billionth: 3,095 where binary fractions give 3,094.9999999999995. */
function withoutNoise(litres: Litres): Litres {
	return Math.round(litres * 1e9) / 1e9;
}
