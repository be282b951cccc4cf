import { useProcedure } from '../../use-procedure.ts';

/** The spray volume of the last job in L/ha; null before there is one. */
export function useLastVolume(): number | null {
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({}));
	const last = jobs.answer?.[0]?.id;
	const job = useProcedure(['jobs', last ?? ''], (api) => api.jobs.get({ id: last ?? '' }), {
		enabled: last !== undefined,
	});
	return job.answer?.sprayVolumeLPerHa ?? null;
}
