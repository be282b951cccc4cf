import type { JsonValue, Problem } from '../../shared/basics/problem.ts';
import { beyondFarm, type FarmGround, farmGroundWords, isAmongFields, kmFromFields } from './farm-ground.ts';

type Choice = { readonly [key: string]: JsonValue };
type Told = { readonly choice: Choice; readonly km: number | null; readonly far: boolean; readonly exchanged: boolean };

const asksForSystem: ReadonlySet<string> = new Set(['file.crsUnknown', 'file.crsAsked']);

/**
 * Where a reference system is asked for: those that put the file near the farm's fields, or into its country, come first, the
 * nearest at the head, and the others are marked `far`; `farmNowhere` where nothing says where the farm lies. Exchanged coordinates are a choice only where
 * none fits as they stand, and only among the farm's fields, where it has some: it takes two mistakes to lie there by chance.
 */
export function narrowedChoices(problem: Problem, ground: FarmGround): Problem {
	const { choices } = problem.details;
	if (!asksForSystem.has(problem.code) || !Array.isArray(choices)) return problem;
	const told = (choices as Choice[]).map((choice) => toldOf(choice, ground));
	const fits = told.some(({ far, exchanged, choice }) => !far && !exchanged && choice['inSea'] !== true);
	const sorted = told
		.filter(({ exchanged, far }) => !exchanged || (!fits && !far))
		.toSorted((one, other) => Number(one.far) - Number(other.far) || distance(one) - distance(other) || 0);
	const narrowed = sorted.some(({ far }) => far) && sorted.some(({ far }) => !far) ? farmGroundWords(ground) : null;
	const details = {
		...problem.details,
		choices: sorted.map(shown),
		...(narrowed === null ? {} : { narrowed }),
		...(ground.by === 'nothing' ? { farmNowhere: true } : {}),
	};
	return { ...problem, details };
}

function toldOf(choice: Choice, ground: FarmGround): Told {
	const exchanged = choice['exchanged'] === true;
	const [lon, lat] = Array.isArray(choice['centre']) ? choice['centre'] : [];
	if (typeof lon !== 'number' || typeof lat !== 'number') return { choice, km: null, far: false, exchanged };
	const place = { lon, lat };
	const far = beyondFarm(ground, place) !== null || (exchanged && !isAmongFields(ground, place));
	return { choice, km: kmFromFields(ground, place), far, exchanged };
}

function shown({ choice, km, far }: Told): Choice {
	return { ...choice, ...(km === null ? {} : { kmFromFarm: Math.round(km) }), ...(far ? { far: true } : {}) };
}

function distance({ km }: Told): number {
	return km ?? Number.POSITIVE_INFINITY;
}
