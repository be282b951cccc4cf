import type { Job } from '../../../shared/contract/jobs.ts';
import type { PlannedLoad } from '../../../shared/contract/jobs-plan.ts';
import type { BrokenOff } from '../../pictures/broken-off-column.tsx';
import { restOfLoad, standingLogs } from './job-words.ts';

/**
 * How far a load that was broken off came, and what was then in the tank: as it was read there, else what had been made up
 * less what the ground covered took. Planned again, the load keeps only the ground it covered: then nothing of it is open.
 */
export function breakOf(
	{ logs, sprayVolumeLPerHa }: Pick<Job, 'logs' | 'sprayVolumeLPerHa'>,
	load: PlannedLoad,
): BrokenOff | null {
	const own = standingLogs(logs, load.load);
	const stopped = own.at(-1)?.stopped;
	if (!stopped) return null;
	const coveredHa = own.flatMap(({ fields }) => fields).reduce((sum, { areaHa }) => sum + areaHa, 0);
	const openHa = restOfLoad(load, own).ground.reduce((sum, { areaHa }) => sum + areaHa, 0);
	const lPerHa = sprayVolumeLPerHa > 0 ? sprayVolumeLPerHa : load.totalL / load.areaHa;
	return {
		...{ coveredHa, openHa, mix: stopped.mix },
		leftL: stopped.mixLeftL ?? Math.max(0, load.totalL - coveredHa * lPerHa),
		isRead: stopped.mixLeftL !== null,
	};
}
