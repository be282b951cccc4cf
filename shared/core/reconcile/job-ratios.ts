import type { Hectares, Litres } from '../../units/quantity.ts';
import { type LeftRange, leftRange, leftSigma as sigmaAtEnd } from '../loads/expected-left.ts';
import type { JobBalance } from './reconciliation.ts';
import type { Noise, SeasonJob } from './season-books.ts';

/** What a job's figures rest on besides the job itself. */
export type JobFills = {
	/** New mix of each logged load. */
	readonly newMixL: readonly Litres[];
	/** Standard error of the product measured out for them. */
	readonly pourSigmaL: Litres;
};

/** One comparison a job's reports allow: the sum of the errors it holds, as a natural logarithm. */
export type JobReading = {
	readonly jobId: string;
	readonly sprayerId: string;
	readonly holds: { readonly area: boolean; readonly meter: boolean; readonly rate: boolean };
	/** The area in it is the sprayer's own. */
	readonly byCounter: boolean;
	readonly value: number;
	/** Standard error, new in every job. */
	readonly sigma: number;
};

/** When nobody said what was left in the tank, this share of the mix may have been. Assumption. */
const UNREPORTED_LEFT_SHARE = 0.05;

/**
 * What one job sprayed, and what its reports say about area, meter and rate.
 *
 *   sprayed [L] = carried in + mixed + separate rinse − left − unsprayable − spilled
 *   area = (counter + still to go) ÷ loaded for;  meter = sprayed ÷ controller litres
 *   rate = controller litres ÷ area ÷ spray volume;  volume = sprayed ÷ loaded for ÷ spray volume
 *   left when all is sound = carried in + mixed + rinse − unsprayable − spilled − loaded for × spray volume, ± 2 σ
 *   σ² = (area × spray volume × σ_area)² + (mixed × σ_meter)² + σ_step²
 *
 * A ratio whose figures were not reported is left out. Source of the balance: mass conservation.
 */
export function jobBalance(job: SeasonJob, fills: JobFills, noise: Noise): JobBalance {
	const sprayedL = sprayedBy(job);
	const coveredHa = areaCovered(job);
	const target = job.areaLoadedForHa * job.sprayVolumeLPerHa;
	const expectedL = sprayedL + (job.leftL ?? 0) - target;
	const { lowL, highL } = rangeAtEnd(expectedL, { job, fills, noise });
	const ratios = {
		...(job.counterHa === null || job.areaLoadedForHa <= 0
			? {}
			: { areaRatio: (job.counterHa + (job.ranOutHa ?? 0)) / job.areaLoadedForHa }),
		...(job.controllerL === null || job.controllerL === 0 ? {} : { meterRatio: sprayedL / job.controllerL }),
		...(job.controllerL === null || coveredHa <= 0
			? {}
			: { rateRatio: job.controllerL / coveredHa / job.sprayVolumeLPerHa }),
		...(reported(job) && loadedAndCovered(job) > 0
			? { volumeRatio: sprayedL / loadedAndCovered(job) / job.sprayVolumeLPerHa }
			: {}),
	};
	return {
		jobId: job.jobId,
		sprayedL,
		...ratios,
		expectedLeft: { low: Math.max(0, lowL), high: Math.max(0, highL) },
		mayRunOutHa: Math.max(0, -lowL) / job.sprayVolumeLPerHa,
		say: sentence(job, ratios),
	};
}

/**
 * The comparisons a job allows, none of which shares a report's error with another. With counter and controller: area,
 * meter and rate each by itself. What was not reported leaves sums that cannot be taken apart.
 */
export function jobReadings(job: SeasonJob, fills: JobFills, noise: Noise): JobReading[] {
	const readings: JobReading[] = [];
	const { jobId, sprayerId, counterHa, controllerL, sprayVolumeLPerHa } = job;
	const sprayedL = sprayedBy(job);
	const coveredHa = areaCovered(job);
	const byCounter = counterHa !== null;
	const add = (holds: JobReading['holds'], ratio: number, ...sigmas: number[]) => {
		if (ratio > 0 && Number.isFinite(ratio)) {
			readings.push({ jobId, sprayerId, holds, byCounter, value: Math.log(ratio), sigma: Math.hypot(...sigmas) });
		}
	};
	const counterSigma = noise.counterRelative;
	if (counterHa !== null) {
		const ratio = (counterHa + (job.ranOutHa ?? 0)) / job.areaLoadedForHa;
		add({ area: true, meter: false, rate: false }, ratio, counterSigma);
	}
	const meterSigma = sprayedSigma(job, fills, noise) / Math.max(sprayedL, 1);
	if (controllerL !== null && controllerL > 0) {
		add({ area: false, meter: true, rate: false }, sprayedL / controllerL, meterSigma);
		const rate = controllerL / coveredHa / sprayVolumeLPerHa;
		add({ area: !byCounter, meter: false, rate: true }, rate, noise.rateRelative, counterSigma);
	} else if (reported(job)) {
		const volume = sprayedL / coveredHa / sprayVolumeLPerHa;
		add({ area: !byCounter, meter: true, rate: true }, volume, meterSigma, noise.rateRelative, counterSigma);
	}
	return readings;
}

/** Carried in + mixed + separate rinse − left − unsprayable − spilled. */
export function sprayedBy(job: SeasonJob): Litres {
	return job.carriedInL + job.mixedL + job.rinseL - (job.leftL ?? 0) - job.unsprayableL - job.spilledL;
}

/** Was anything said about the end of the job that bounds what was sprayed? */
function reported(job: SeasonJob): boolean {
	return job.leftL !== null || job.ranOutHa !== null || job.counterHa !== null || job.controllerL !== null;
}

/** The ground the sprayed litres went onto: by the counter, else what was loaded for less what was still to go. */
function areaCovered(job: SeasonJob): Hectares {
	return job.counterHa ?? loadedAndCovered(job);
}

function loadedAndCovered(job: SeasonJob): Hectares {
	return job.areaLoadedForHa - (job.ranOutHa ?? 0);
}

function sprayedSigma(job: SeasonJob, fills: JobFills, noise: Noise): Litres {
	const metered = noise.meterRelative * Math.hypot(...(fills.newMixL.length > 0 ? fills.newMixL : [job.mixedL]));
	return Math.hypot(metered, leftSigma(job, noise));
}

function leftSigma(job: SeasonJob, noise: Noise): Litres {
	if (job.leftL !== null) return Math.hypot(noise.leftRelative * job.leftL, noise.leftL);
	return job.ranOutHa === null ? UNREPORTED_LEFT_SHARE * job.mixedL : noise.leftL;
}

type Sound = { readonly job: SeasonJob; readonly fills: JobFills; readonly noise: Noise };

function rangeAtEnd(expectedL: Litres, { job, fills, noise }: Sound): LeftRange {
	const areas = job.fields.map((field) => field.areaSigmaHa ?? noise.registerRelative * field.areaHa);
	const sigma = sigmaAtEnd({
		sprayVolumeLPerHa: job.sprayVolumeLPerHa,
		areaSigmasHa: areas.length > 0 ? areas : [noise.registerRelative * job.areaLoadedForHa],
		newMixL: fills.newMixL.length > 0 ? fills.newMixL : [job.mixedL],
		meterRelative: noise.meterRelative,
		meterBias: noise.meterBias,
		pourSigmaL: fills.pourSigmaL,
	});
	return leftRange(expectedL, sigma);
}

function sentence(job: SeasonJob, ratios: Pick<JobBalance, 'areaRatio' | 'meterRatio' | 'volumeRatio'>): string {
	if (ratios.volumeRatio === undefined) return 'Nothing was reported at the end of this job.';
	const missing = [
		...(ratios.areaRatio === undefined ? ['sprayed area'] : []),
		...(ratios.meterRatio === undefined ? ['controller litres'] : []),
		...(job.leftL === null && job.ranOutHa === null ? ['mix left'] : []),
	];
	if (missing.length === 0) return 'Area, meter and rate can each be judged by themselves.';
	return `Not reported: ${missing.join(', ')}. So area, meter and rate cannot all be told apart.`;
}
