import type { PlannedIndoors } from '../../shared/contract/jobs-indoors.ts';
import type { PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { fillsOverSpaces } from '../../shared/core/loads/fills-over-spaces.ts';
import { inAll } from './job-details.ts';
import type { SplitLoad } from './split-job.ts';

/** The closed spaces a load goes into, in their order: each with its part of the mix, and where the fills end in it. */
export function spacesInTurn(
	indoors: PlannedIndoors | null,
	{ space, fills = [] }: Pick<SplitLoad, 'space' | 'fills'>,
): Pick<PlannedLoad, 'space' | 'spaceUnit' | 'spaces'> {
	if (space === undefined || !indoors) return {};
	const { unit: spaceUnit, mixL, spaces } = indoors;
	const total = inAll(indoors);
	const told = fillsOverSpaces(
		fills,
		spaces.map(({ amount }) => amount),
	);
	return {
		space,
		spaceUnit,
		spaces: spaces.map(({ spaceId, name, amount }, index) => ({
			...{ spaceId, name, amount },
			...(mixL === undefined ? {} : { mixL: (mixL * amount) / total }),
			...(told[index] ? { fills: told[index] } : {}),
		})),
	};
}
