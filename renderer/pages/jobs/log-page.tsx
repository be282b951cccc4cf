import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { loadState } from './job-words.ts';
import { LogDone, type LoggedLoad } from './log-done.tsx';
import { LogForm } from './log-form.tsx';
import { useMarginsAhead } from './log-margins.tsx';

/** Logs one load: an ordinary one with Enter and Enter, any other by saying what was different. */
export function LogPage({ id, load }: { readonly id: string; readonly load: number }) {
	const job = useProcedure(['jobs', id], (api) => api.jobs.get({ id }));
	const card = useProcedure(['jobs', id, 'card', load], (api) => api.jobs.card({ jobId: id, load }));
	const fill = useProcedure(['fills', 'of load', id, load], (api) => api.fills.ofLoad({ jobId: id, load }));
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const margins = useMarginsAhead(job.answer, card.answer);
	const [logged, setLogged] = useState<LoggedLoad | null>(null);
	if (logged && job.answer) {
		return (
			<Page title={`Load ${load} is logged`}>
				<section>
					<LogDone job={job.answer} logged={logged} />
				</section>
			</Page>
		);
	}
	const unready = [job, card, fill, settings].find(({ answer }) => answer === undefined);
	if (unready || !job.answer || !card.answer || fill.answer === undefined || !settings.answer || !margins) {
		return (
			<Page title={`Log load ${load}`}>
				<section>{unready && <Answered<unknown> asked={unready}>{() => null}</Answered>}</section>
			</Page>
		);
	}
	if (job.answer.state === 'closed' || loadState(job.answer.logs, load) === 'logged') {
		return <NothingToLog job={job.answer} load={load} />;
	}
	return (
		<LogForm
			job={job.answer}
			card={card.answer}
			fill={fill.answer}
			settings={settings.answer}
			margins={margins}
			onLogged={setLogged}
		/>
	);
}

function NothingToLog({ job, load }: { readonly job: Job; readonly load: number }) {
	const [, go] = useLocation();
	const address = `/jobs/${job.id}/${load}`;
	return (
		<Page title={`Load ${load}`}>
			<section>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link> · <Link href={address}>{job.name}</Link>
				</p>
				<PageHead title={`Load ${load} of ${job.plan.loads.length}`} />
				<Empty
					title={job.state === 'closed' ? 'The job is closed.' : 'This load is logged already.'}
					next={<Button onClick={() => go(address)}>Open the job</Button>}
				>
					{job.state === 'closed'
						? 'A closed job takes no more loads.'
						: 'If the log is wrong, take it back on the page of the job; then the load can be logged again.'}
				</Empty>
			</section>
		</Page>
	);
}
