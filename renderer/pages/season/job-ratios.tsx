import { useLocation } from 'wouter';
import { shortDate, signed } from '../../format.ts';
import { Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import type { Reconciliation } from './measures-page.tsx';

type JobBalance = Reconciliation['jobs'][number];

/** What each closed job reported, against what it was planned with. */
export function JobRatios({ jobs }: { readonly jobs: readonly JobBalance[] }) {
	const [, go] = useLocation();
	const list = useProcedure(['jobs'], (api) => api.jobs.list({}));
	const known = new Map(list.answer?.map((job) => [job.id, job]));
	if (jobs.length === 0) return null;
	const dateOf = ({ jobId }: JobBalance) => known.get(jobId)?.date ?? '';
	return (
		<section aria-label="Jobs of the period" className="above">
			<h2>Each job, in % above or below</h2>
			<Table
				caption="Jobs with what their sprayer reported"
				rows={[...jobs].sort((a, b) => dateOf(b).localeCompare(dateOf(a)))}
				rowKey={({ jobId }) => jobId}
				onOpen={({ jobId }) => go(`/jobs/${jobId}`)}
				columns={[
					{
						key: 'job',
						head: 'Job',
						cell: (job) => (
							<>
								{known.get(job.jobId)?.name ?? 'Job'}
								<span className="second">{shortDate(dateOf(job))}</span>
							</>
						),
					},
					{ key: 'area', head: 'area', number: true, cell: ({ areaRatio }) => percent(areaRatio) },
					{ key: 'meter', head: 'meter', number: true, cell: ({ meterRatio }) => percent(meterRatio) },
					{ key: 'rate', head: 'rate', number: true, cell: ({ rateRatio }) => percent(rateRatio) },
				]}
			/>
			<p className="quiet small above">
				Area: counter against the area loaded for. Meter: inlet meter against the controller’s litres. Rate: litres per
				hectare against the spray volume. A dash: not reported, so it cannot be told apart.
			</p>
		</section>
	);
}

function percent(ratio: number | undefined): string {
	return ratio === undefined ? '–' : signed(100 * (ratio - 1), 1);
}
