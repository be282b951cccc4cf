import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Hectares, Litres, LitresPerHectare } from '../../units/quantity.ts';
import type { TankState } from './loads-request.ts';

/** What any way of splitting the job must keep to. */
export type TankLimits = {
	/** The fewest loads that hold the job; 0 when the mix left in the tank is enough. */
	readonly loads: number;
	readonly sprayVolumeLPerHa: LitresPerHectare;
	readonly areaHa: Hectares;
	readonly capacityL: Litres;
	readonly unsprayableL: Litres;
	readonly leftInTankL: Litres;
	/** Least that stands in the tank at each load: the sprayer's minimum, or 0 where no split can keep it. */
	readonly smallestL: Litres;
	/** No split of this job keeps every load at the sprayer's minimum. */
	readonly belowMinimum: boolean;
};

/**
 * The fewest loads for a job, and what each load must keep to.
 *
 *   loads = ⌈area × spray volume ÷ (capacity − unsprayable)⌉
 *   new mix of all loads = area × spray volume + unsprayable − left in the tank
 *
 * The unsprayable litres go into the first load and are carried from each load into the next; mix of the same recipe
 * left in the tank is carried into the first.
 * Refuses an area of nothing, a minimum or unsprayable rest that the tank cannot hold, another mix in the tank, and a
 * job of more than 1,000 loads.
 * Source: number of loads as in tests/reference/loads-handbook.test.ts (row 1).
 */
export function tankLimits(areaHa: Hectares, sprayVolumeLPerHa: LitresPerHectare, tank: TankState): Result<TankLimits> {
	const { capacityL, minimumL, unsprayableL, leftInTankL } = tank;
	if (!(areaHa > 0)) return refuse('area.notPositive', { path: 'areaHa' });
	if (minimumL > capacityL) {
		return refuse('sprayer.minimumAboveCapacity', { path: 'tank.minimumL', minimumL, capacityL });
	}
	if (unsprayableL >= capacityL) {
		return refuse('load.unsprayableAboveCapacity', { path: 'tank.unsprayableL', unsprayableL, capacityL });
	}
	if (leftInTankL > 0 && !tank.leftIsSameMix) {
		return refuse('load.otherMixInTank', { path: 'tank.leftInTankL', leftL: leftInTankL });
	}
	if (leftInTankL > capacityL) {
		return refuse('load.leftAboveCapacity', { path: 'tank.leftInTankL', leftL: leftInTankL, capacityL });
	}
	const sprayedL = areaHa * sprayVolumeLPerHa;
	const fewest = roundUp(sprayedL / (capacityL - unsprayableL));
	const loads = sprayedL + unsprayableL - leftInTankL > NOTHING_L ? fewest : 0;
	if (loads > MOST_LOADS) return refuse('load.tooMany', { loads, most: MOST_LOADS });
	const standing = sprayedL + loads * unsprayableL;
	const least = Math.max(minimumL, leftInTankL) + (loads - 1) * minimumL;
	const belowMinimum = loads > 0 && least > standing + NOTHING_L;
	return ok({
		loads,
		sprayVolumeLPerHa,
		areaHa,
		capacityL,
		unsprayableL,
		leftInTankL,
		smallestL: belowMinimum ? 0 : minimumL,
		belowMinimum,
	});
}

/** Guards against a slip of the keyboard: at 20 loads a day this is a season's work. Our choice. */
const MOST_LOADS = 1_000;

/** A millionth of a millilitre is binary noise, not mix. */
export const NOTHING_L: Litres = 1e-9;

/** 40 ha × 100 L/ha ÷ 4,000 L is one load, though the division may come out as 1.0000000000000002. */
function roundUp(loads: number): number {
	return Math.max(1, Math.ceil(loads * (1 - 1e-12)));
}
