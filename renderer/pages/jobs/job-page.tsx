import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { nutrientWords } from '../../../shared/core/products/nutrient.ts';
import { count, doseWords, figure, longDate } from '../../format.ts';
import { quantityWords, spacesInAll } from '../../held-words.ts';
import { kindNames, restWord } from '../../kind-words.ts';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { TankBefore } from '../fill/tank-before.tsx';
import { FollowedRecommendation } from '../recommendations/follows.tsx';
import { CloseDialog } from './close-dialog.tsx';
import { EarlierPlans } from './earlier-plans.tsx';
import { AtTheEnd } from './end-of-job.tsx';
import { JobBars } from './job-bars.tsx';
import { JobFill } from './job-fill.tsx';
import { JobGround, JobLoads } from './job-ground.tsx';
import { JobLogs } from './job-logs.tsx';
import { JobNext } from './job-next.tsx';
import { JobTank } from './job-tank.tsx';
import { brokenOffWords, cropsOf, nextLoad } from './job-words.ts';
import { State } from './jobs-page.tsx';
import { StoppedByLimits } from './limit-findings.tsx';
import { ReverseDialog } from './reverse-dialog.tsx';
import { Sowings } from './sowings.tsx';
import { JobWashings } from './washings.tsx';
import { WithdrawDialog } from './withdraw-dialog.tsx';

/** One job: its ground and loads, how the chosen load is filled, and the tank of that load. */
export function JobPage({ id, load }: { readonly id: string; readonly load: number | undefined }) {
	const job = useProcedure(['jobs', id], (api) => api.jobs.get({ id }));
	return (
		<Page title={job.answer?.name ?? 'Job'} columns={columnsFor(job.answer)}>
			{job.answer ? (
				<Opened job={job.answer} wanted={load} />
			) : (
				<section>
					<Answered asked={job}>{() => null}</Answered>
				</section>
			)}
		</Page>
	);
}

/** Without a tank to draw, and no seed to be sown, two columns are enough. */
function columnsFor(job: Job | undefined): 'one' | 'two-left' | 'three' {
	if (!job) return 'one';
	return needsTank(job.kind) || job.seed !== null ? 'three' : 'two-left';
}

type Dialog = 'close' | 'withdraw' | { readonly reverse: number } | null;

function Opened({ job, wanted }: { readonly job: Job; readonly wanted: number | undefined }) {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const [dialog, setDialog] = useState<Dialog>(null);
	const [done, setDone] = useState('');
	const shut = () => setDialog(null);
	const next = nextLoad(job);
	const loads = job.plan.loads;
	const chosen = loads.find(({ load }) => load === (wanted ?? next ?? 1)) ?? loads[0];
	const load = chosen?.load ?? 0;
	const card = useProcedure(['jobs', job.id, 'card', load], (api) => api.jobs.card({ jobId: job.id, load }), {
		enabled: load > 0,
	});
	// What was logged stands first, once nothing is left to fill.
	const isOver = job.state === 'closed' || job.state === 'done';
	const logs = (
		<>
			<JobLogs job={job} onReverse={(each) => setDialog({ reverse: each })} />
			<JobWashings job={job} />
		</>
	);
	return (
		<>
			<section>
				<p className="quiet small screen-only">
					<Link href="/jobs">Jobs</Link>
				</p>
				<PageHead title={job.name} under={underTitle(job, farmUnits)} />
				<p>
					<State state={job.state} />
				</p>
				{job.overrideWhy && (
					<p className="small">
						<b>Goes on against a warning:</b> {job.overrideWhy}
					</p>
				)}
				{done !== '' && (
					<div className="job-done">
						<DoneNotice>{done}</DoneNotice>
					</div>
				)}
				{(job.state === 'planned' || job.state === 'in progress') && (
					<StoppedByLimits limits={card.answer?.limits ?? []} />
				)}
				<JobNext job={job} load={load} onClose={() => setDialog('close')} onWithdraw={() => setDialog('withdraw')} />
				{job.state !== 'closed' && job.state !== 'done' && (
					<TankBefore
						sprayerId={job.sprayerId}
						fieldIds={job.fields.map(({ fieldId }) => fieldId)}
						productIds={job.products.map(({ productId }) => productId)}
						date={job.date}
						jobId={job.id}
					/>
				)}
				<FollowedRecommendation
					jobId={job.id}
					sprayed={job.logs
						.filter(({ state }) => state !== 'reversed')
						.map(({ load: logged, startedAt }) => ({ load: logged, on: startedAt.slice(0, 10) }))}
				/>
				<JobLoads job={job} chosen={load} onChoose={(each) => go(`/jobs/${job.id}/${each}`, { replace: true })} />
				<JobGround job={job} />
				{job.version > 1 && <EarlierPlans jobId={job.id} />}
			</section>
			<section aria-label={load > 0 ? `Filling load ${load}` : 'Filling'}>
				{job.state === 'closed' && <JobBars job={job} />}
				{isOver && logs}
				{load > 0 ? (
					<Answered asked={card}>
						{(answer) => <JobFill card={answer} brokenOff={brokenOffWords(job, answer.plan, farmUnits)} />}
					</Answered>
				) : (
					<p className="say">What is left in the tank is enough: nothing is to be made up.</p>
				)}
				<AtTheEnd end={job.plan.end} rest={restWord(job.kind)} opened={job.state === 'done'} />
				{!isOver && logs}
			</section>
			{columnsFor(job) === 'three' && (
				<section
					aria-label={needsTank(job.kind) ? (load > 0 ? `In the tank, load ${load}` : 'In the tank') : 'Beside it'}
				>
					{job.seed !== null && <Sowings job={job} />}
					{card.answer && needsTank(job.kind) && <JobTank job={job} card={card.answer} />}
				</section>
			)}
			<CloseDialog job={job} opened={dialog === 'close'} onClose={shut} onDone={setDone} />
			<WithdrawDialog job={job} opened={dialog === 'withdraw'} onClose={shut} onDone={() => go('/jobs')} />
			<ReverseDialog
				job={job}
				load={dialog !== null && typeof dialog === 'object' ? dialog.reverse : null}
				onClose={shut}
				onDone={setDone}
			/>
		</>
	);
}

function kindIsTold({ kind }: Job): boolean {
	return kind !== 'spray in water';
}

/** `4,000 kg of Winter wheat, lot 26-4, slurry 800 mL/100 kg` */
function seedWords({ amount, unit, crop, lot, slurry }: NonNullable<Job['seed']>): string {
	const parts = [
		`${figure(amount)} ${unit === 'kg' ? 'kg' : 'units'} of ${crop}`,
		lot ? `lot ${lot}` : '',
		slurry ? `slurry ${doseWords(slurry)}` : '',
	];
	return parts.filter(Boolean).join(', ');
}

/** `Barn 2, empty grain store, 12,000 m³`; of several: `3 closed spaces, 18,000 m³`, which are listed below. */
function indoorsWords({ unit, spaces }: NonNullable<Job['indoors']>): string {
	const [first, ...others] = spaces;
	const amount = quantityWords(spacesInAll(spaces), unit);
	if (!first || others.length > 0) return `${count(spaces.length, 'closed space')}, ${amount}`;
	return `${first.name}, ${first.crop ?? `empty ${first.kind}`}, ${amount}`;
}

function underTitle(job: Job, { say }: Units): string {
	const parts = [
		longDate(job.date),
		kindIsTold(job) ? kindNames[job.kind] : null,
		job.sprayer,
		job.sprayVolumeLPerHa > 0 ? say(`${figure(job.sprayVolumeLPerHa)} L/ha`) : null,
		say(nutrientWords(job.plan.totals.nutrients ?? []) ?? ''),
		job.seed === null ? null : say(seedWords(job.seed)),
		job.indoors === null ? null : say(indoorsWords(job.indoors)),
		job.operator,
		cropsOf(job.fields),
		job.growthStage === null ? null : `growth stage ${job.growthStage}`,
		job.reason,
		job.customer === null ? null : `for ${job.customer}`,
	];
	return parts.filter((part) => part !== null && part !== '').join(' · ');
}
