import { Button, Checkbox, TextInput } from '@mantine/core';
import { Link, useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import { hectares, litres } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { LimitFindings } from './limit-findings.tsx';
import { OverrideWhy } from './override-why.tsx';
import { PlannedLoads, planSummary, Ways } from './plan-preview.tsx';
import {
	brokenOffLoad,
	mixLeft,
	newRest,
	type RestDraft,
	type RestRequest,
	restRequest,
	shownToGo,
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
	const [, go] = useLocation();
	const [draft, change, forget] = useKept<RestDraft>(`rest ${job.id} ${job.version}`, () => newRest(job));
	const set = (part: Partial<RestDraft>) => change((now) => ({ ...now, ...part }));
	const request = restRequest(draft, job);
	const preview = usePlanPreview('rest', request, (api, wanted, signal) => api.jobs.previewRest(wanted, { signal }));
	const plan = preview.plan.answer;
	const save = useCommand(
		(api, wanted: RestRequest, key) =>
			api.jobs.replan({
				key,
				...wanted,
				version: job.version,
				why: draft.why.trim(),
				...(draft.overrideWhy.trim() === '' ? {} : { overrideWhy: draft.overrideWhy.trim() }),
			}),
		() => {
			forget();
			go(`/jobs/${job.id}`);
		},
	);
	const button = useRefocus(save.busy);
	const stopped = plan?.limits.some(({ verdict }) => verdict === 'block') ?? false;
	const topUp = job.state === 'done';
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
					title={topUp ? 'A top-up load' : 'Plan the rest again'}
					under={
						topUp
							? 'At the same dose, for the ground the mix did not reach. Never the rest stretched with water.'
							: 'Loads that are logged stay. The plan so far stays in the history of the job.'
					}
				/>
				<ToGo job={job} draft={draft} onChange={set} />
				<MixInTank job={job} draft={draft} onChange={set} />
				<div className="pair above">
					<DateInput label="Spray date" required value={draft.date} onChange={(date) => set({ date })} />
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
					{!request && <p className="say">Enter the ground that is still to go.</p>}
					{request && preview.plan.problem && <ProblemNotice problem={preview.plan.problem} />}
					{request && plan && !preview.plan.problem && (
						<div className="stack" aria-busy={preview.plan.waiting}>
							<div>
								<p className="say" role="status">
									{planSummary(plan)}
								</p>
								<p className="quiet">
									{hectares(plan.totals.areaHa)} ha to go, {litres(plan.totals.mixL)} L of new mix
								</p>
							</div>
							<PlannedLoads plan={plan} />
							{plan.loads.length > 1 && (
								<Ways
									plan={plan}
									recommended={preview.recommended}
									chosen={draft.strategy ?? preview.recommended ?? plan.strategy}
									onStrategy={(strategy) => set({ strategy: strategy === preview.recommended ? null : strategy })}
								/>
							)}
							<WarningList warnings={plan.warnings} />
							<LimitFindings limits={plan.limits} fields={plan.loads.flatMap(({ ground }) => ground)} />
							{plan.toAnswer.length > 0 && (
								<OverrideWhy value={draft.overrideWhy} onChange={(overrideWhy) => set({ overrideWhy })} />
							)}
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

function ToGo({ job, draft, onChange }: Part) {
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
							sprayed
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
							<td className="number quiet">{hectares(areaHa)}</td>
							<td className="number">{treatedHa > 0 ? hectares(treatedHa) : '–'}</td>
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
						<td className="number">{hectares(together)} ha</td>
					</tr>
				</tfoot>
			</table>
			<p className="quiet above-small">
				Read it off the sprayer’s counter where it differs. Empty: nothing to go there.
			</p>
		</>
	);
}

function MixInTank({ job, draft, onChange }: Part) {
	const begun = brokenOffLoad(job);
	const carry = (carryFrom: number | null) =>
		onChange({ carryFrom, leftInTankL: mixLeft(job, carryFrom), toGo: shownToGo(job, carryFrom) });
	return (
		<>
			<h2>In the tank</h2>
			{begun !== null && (
				<Checkbox
					label={`Carry the mix of load ${begun} into the next load`}
					description={`Load ${begun} is over then. Unticked, it is gone on with as it is.`}
					checked={draft.carryFrom !== null}
					onChange={(event) => carry(event.currentTarget.checked ? begun : null)}
				/>
			)}
			<div className="rest-mix">
				<QuantityInput
					label="Mix of this job in the tank"
					unit="L"
					description="With sump and lines; 0 where it was rinsed out"
					min={0}
					value={draft.leftInTankL}
					onChange={(leftInTankL) => onChange({ leftInTankL })}
				/>
			</div>
		</>
	);
}
