import { Button, Checkbox, TextInput } from '@mantine/core';
import { Link, useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { JobPlan } from '../../../shared/contract/jobs-plan.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { capital, figure } from '../../format.ts';
import { carrierWords, heldWords } from '../../held-words.ts';
import { restWord } from '../../kind-words.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { LimitFindings } from './limit-findings.tsx';
import { OverrideWhy } from './override-why.tsx';
import { PlannedLoads, planSummary, Ways } from './plan-preview.tsx';
import {
	brokenOffLoad,
	carriedOn,
	mixLeft,
	newRest,
	type RestDraft,
	type RestRequest,
	restRequest,
} from './rest-draft.ts';
import { useKept } from './use-kept.ts';
import { usePlanPreview } from './use-plan-preview.ts';
import { useRefocus } from './use-refocus.ts';

/** Plans what is still open of a job again: after rain, with ground measured anew, or a top-up where it ran short. */
export function RestPage({ id }: { readonly id: string }) {
	const job = useProcedure(['jobs', id], (api) => api.jobs.get({ id }));
	if (job.answer) return <Rest key={job.answer.version} job={job.answer} />;
	return (
		<Page title="Plan the rest">
			<section>
				<Answered asked={job}>{() => null}</Answered>
			</section>
		</Page>
	);
}

function Rest({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const [draft, change, forget] = useKept<RestDraft>(`rest ${job.id} ${job.version}`, () => newRest(job));
	const set = (part: Partial<RestDraft>) => change((now) => ({ ...now, ...part }));
	const request = restRequest(draft, job);
	const preview = usePlanPreview('rest', request, (api, wanted, signal) => api.jobs.previewRest(wanted, { signal }));
	const plan = preview.plan.answer;
	// Why it is planned again says also why a small load is made up; a limit asks for its own reason.
	const asked = plan?.toAnswer ?? [];
	const ownReason = asked.some(({ from }) => from === 'limit');
	const reason = draft.overrideWhy.trim() || (asked.length > 0 && !ownReason ? draft.why.trim() : '');
	const save = useCommand(
		(api, wanted: RestRequest, key) =>
			api.jobs.replan({
				key,
				...wanted,
				version: job.version,
				why: draft.why.trim(),
				...(reason === '' ? {} : { overrideWhy: reason }),
			}),
		() => {
			forget();
			go(`/jobs/${job.id}`);
		},
	);
	const button = useRefocus(save.busy);
	const stopped = plan?.limits.some(({ verdict }) => verdict === 'block') ?? false;
	const topUp = job.state === 'done';
	const { one } = heldWords(job.plan.loads[0]);
	return (
		<form
			className="page plan-page"
			onSubmit={(event) => {
				event.preventDefault();
				if (request && !stopped) save.run(request);
			}}
		>
			<section>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link> · <Link href={`/jobs/${job.id}`}>{job.name}</Link>
				</p>
				<PageHead
					title={topUp ? (one === 'fill' ? 'One more fill' : 'A top-up load') : 'Plan the rest again'}
					under={
						topUp
							? one === 'fill'
								? 'At the same dose, for the ground the granules did not reach.'
								: 'At the same dose, for the ground it did not reach. Never the rest stretched with water.'
							: `What is logged stays. The plan so far stays in the history of the job.`
					}
				/>
				{job.seed === null ? (
					<ToGo job={job} draft={draft} onChange={set} />
				) : (
					<SeedToGo seed={job.seed} draft={draft} onChange={set} />
				)}
				{sprayedAlready(job, draft).map(({ fieldId, name, treatedHa, twiceHa }) => (
					<p key={fieldId} className="notice above-small" role="status">
						<span className="word">Look</span>
						<span>
							By the logs {farmUnits.area(treatedHa)} of {name} are sprayed already: {farmUnits.area(twiceHa)} would
							stand on the records twice. If a load did not reach all of its ground, take it back in its{' '}
							<Link href={`/jobs/${job.id}`}>job</Link> and log it with the ground it covered; then come back.
						</span>
					</p>
				))}
				<LeftOver job={job} draft={draft} onChange={set} />
				<div className="pair above">
					<DateInput
						label={needsTank(job.kind) ? 'Spray date' : 'Date'}
						required
						value={draft.date}
						onChange={(date) => set({ date })}
					/>
					<TextInput
						label="Why"
						description="Rain, breakdown, ran short …"
						required
						maxLength={200}
						autoComplete="off"
						value={draft.why}
						onChange={(event) => set({ why: event.currentTarget.value })}
					/>
				</div>
			</section>
			<section aria-label="The loads that follow" className="plan-live">
				<div>
					{!request && (
						<p className="say">
							{job.seed === null
								? 'Enter the ground that is still to go.'
								: 'Enter the seed that is still to be treated.'}
						</p>
					)}
					{request && preview.plan.problem && <ProblemNotice problem={preview.plan.problem} />}
					{request && plan && !preview.plan.problem && (
						<div className="stack" aria-busy={preview.plan.waiting}>
							<div>
								<p className="say" role="status">
									{farmUnits.say(planSummary(plan, job.seed?.unit))}
								</p>
								<p className="quiet">{underRest(job, plan, farmUnits)}</p>
								{plan.carrier && <p className="quiet">{carrierWords(plan.carrier)}</p>}
							</div>
							<PlannedLoads plan={plan} seedUnit={job.seed?.unit} />
							{plan.loads.length > 1 && (
								<Ways
									plan={plan}
									seedUnit={job.seed?.unit}
									recommended={preview.recommended}
									chosen={draft.strategy ?? preview.recommended ?? plan.strategy}
									onStrategy={(strategy) => set({ strategy: strategy === preview.recommended ? null : strategy })}
								/>
							)}
							<WarningList warnings={plan.warnings} />
							<LimitFindings limits={plan.limits} fields={plan.loads.flatMap(({ ground }) => ground)} />
							{ownReason && <OverrideWhy value={draft.overrideWhy} onChange={(overrideWhy) => set({ overrideWhy })} />}
							<Cautions />
						</div>
					)}
					<ProblemNotice problem={save.problem} />
					<div className="form-foot">
						<Button variant="default" onClick={() => go(`/jobs/${job.id}`)}>
							Leave it
						</Button>
						<Button ref={button} type="submit" loading={save.busy} disabled={request === null || stopped}>
							{topUp ? 'Plan the top-up' : 'Save the new plan'}
						</Button>
					</div>
				</div>
			</section>
		</form>
	);
}

type Part = {
	readonly job: Job;
	readonly draft: RestDraft;
	readonly onChange: (part: Partial<RestDraft>) => void;
};

/** Ground that the logs say is sprayed and that is entered as still to go: one of the two is wrong. */
function sprayedAlready(job: Job, draft: RestDraft) {
	return job.fields.flatMap(({ fieldId, name, areaHa, treatedHa }) => {
		const twiceHa = treatedHa + (draft.toGo[fieldId] ?? 0) - Math.max(areaHa, treatedHa);
		return treatedHa > 0 && twiceHa >= LEAST_TOLD_HA ? [{ fieldId, name, treatedHa, twiceHa }] : [];
	});
}

/** As exact as the ground is shown. */
const LEAST_TOLD_HA = 0.005;

function ToGo({ job, draft, onChange }: Part) {
	const farmUnits = useUnits();
	const together = job.fields.reduce((sum, { fieldId }) => sum + (draft.toGo[fieldId] ?? 0), 0);
	return (
		<>
			<h2>Ground still to go</h2>
			<table className="table plan-lines" aria-label="Ground still to go">
				<thead>
					<tr>
						<th scope="col">Field</th>
						<th scope="col" className="number">
							loaded for
						</th>
						<th scope="col" className="number">
							{job.kind === 'granules' ? 'spread' : 'sprayed'}
						</th>
						<th scope="col" className="number">
							to go
						</th>
					</tr>
				</thead>
				<tbody>
					{job.fields.map(({ fieldId, name, areaHa, treatedHa }) => (
						<tr key={fieldId}>
							<td>{name}</td>
							<td className="number quiet">{farmUnits.hectares(areaHa)}</td>
							<td className="number">{treatedHa > 0 ? farmUnits.hectares(treatedHa) : '–'}</td>
							<td className="area">
								<QuantityInput
									label={`Still to go, ${name}`}
									unit="ha"
									min={0}
									value={draft.toGo[fieldId] ?? null}
									onChange={(value) => onChange({ toGo: { ...draft.toGo, [fieldId]: value } })}
								/>
							</td>
						</tr>
					))}
				</tbody>
				<tfoot>
					<tr>
						<td>Together</td>
						<td />
						<td />
						<td className="number">{farmUnits.area(together)}</td>
					</tr>
				</tfoot>
			</table>
			<p className="quiet above-small">
				Read it off the {job.kind === 'granules' ? 'applicator' : 'sprayer'}’s counter where it differs. Empty: nothing
				to go there.
			</p>
		</>
	);
}

/** The seed that is still to be treated, read off the scale where it differs. */
function SeedToGo({ seed, draft, onChange }: Omit<Part, 'job'> & { readonly seed: NonNullable<Job['seed']> }) {
	const farmUnits = useUnits();
	const unit = seed.unit === 'kg' ? 'kg' : 'units';
	return (
		<>
			<h2>Seed still to be treated</h2>
			<div className="rest-mix">
				<QuantityInput
					label={`Seed of ${seed.crop}`}
					unit={unit}
					description={farmUnits.say(`${figure(seed.amount)} ${unit} in all`)}
					required
					min={0.001}
					value={draft.seed}
					onChange={(amount) => onChange({ seed: amount })}
				/>
			</div>
		</>
	);
}

function LeftOver({ job, draft, onChange }: Part) {
	const farmUnits = useUnits();
	const begun = brokenOffLoad(job);
	const { one } = heldWords(job.plan.loads[0]);
	const carry = (carryFrom: number | null) => onChange(carriedOn(job, carryFrom));
	if (!needsTank(job.kind) && begun === null) return null;
	return (
		<>
			<h2>{leftHeadings[one]}</h2>
			{begun !== null && (
				<Checkbox
					label={carryWords[one](begun)}
					description={`${one === 'batch' ? 'Its seed that is left is planned anew' : `${capital(one)} ${begun} is over then`}. Unticked, it is gone on with as it is.`}
					checked={draft.carryFrom !== null}
					onChange={(event) => carry(event.currentTarget.checked ? begun : null)}
				/>
			)}
			{one === 'fill' && draft.carryFrom !== null && (
				<div className="rest-mix">
					<QuantityInput
						label="Left in the hopper"
						unit="kg"
						description="0 where it was emptied"
						min={0}
						value={draft.leftInHopperKg}
						onChange={(leftInHopperKg) => onChange({ leftInHopperKg })}
					/>
				</div>
			)}
			{needsTank(job.kind) && (
				<div className="rest-mix">
					<QuantityInput
						label={`${capital(restWord(job.kind))} of this job in the tank`}
						unit="L"
						description={`With sump and lines; 0 where it was rinsed out.${begun !== null && draft.carryFrom !== null ? ` By what is logged: ${farmUnits.volume(mixLeft(job, begun))}` : ''}`}
						min={0}
						value={draft.leftInTankL}
						onChange={(leftInTankL) => onChange({ leftInTankL })}
					/>
				</div>
			)}
		</>
	);
}

const leftHeadings = {
	load: 'In the tank',
	fill: 'In the hopper',
	batch: 'The batch that was broken off',
	treatment: 'What was broken off',
} as const;

const carryWords = {
	load: (load: number) => `Carry the mix of load ${load} into the next load`,
	fill: (load: number) => `What is left of fill ${load} goes into the next fill`,
	batch: (load: number) => `Batch ${load} ends with the seed that was treated`,
	treatment: (load: number) => `Treatment ${load} ends with what was treated`,
} as const;

function underRest(job: Job, { totals, loads }: JobPlan, farmUnits: Units): string {
	if (job.seed !== null) {
		const seed = loads.reduce((sum, load) => sum + (load.seed ?? 0), 0);
		return `${figure(seed)} ${job.seed.unit === 'kg' ? 'kg' : 'units'} of seed to go`;
	}
	const ha = `${farmUnits.area(totals.areaHa)} to go`;
	if (job.kind === 'granules') return ha;
	return `${ha}, ${farmUnits.volume(totals.mixL)} of ${job.kind === 'neat liquid' ? 'product' : 'new mix'}`;
}
