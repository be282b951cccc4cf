import { Textarea } from '@mantine/core';
import type { JobPlan, Strategy } from '../../../shared/contract/jobs-plan.ts';
import { count, figure, hectares, litres } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import type { Asked } from '../../use-procedure.ts';
import { AtTheEnd } from './end-of-job.tsx';
import { strategyWords, whereLoadEnds, whyRecommended } from './job-words.ts';
import { LimitFindings } from './limit-findings.tsx';

type Props = {
	readonly asked: Asked<JobPlan>;
	readonly recommended: Strategy | undefined;
	/** The way asked for; null: the recommended one. */
	readonly wanted: Strategy | null;
	readonly needed: readonly string[];
	readonly why: string;
	readonly onWhy: (why: string) => void;
	readonly onStrategy: (strategy: Strategy) => void;
};

/** The plan that follows from what is entered so far: loads, other ways to split, what stands against it. */
export function PlanPreview({ asked, recommended, wanted, needed, why, onWhy, onStrategy }: Props) {
	if (needed.length > 0) {
		return (
			<div className="still-needed">
				<p className="say">The loads appear here.</p>
				<p className="quiet">Still needed: {needed.join(', ')}.</p>
				<Cautions />
			</div>
		);
	}
	const { answer: plan, problem } = asked;
	if (problem) return <ProblemNotice problem={problem} />;
	if (!plan) return <p className="quiet">Planning …</p>;
	return (
		<div className="stack" aria-busy={asked.waiting}>
			<div>
				<p className="say" role="status">
					{planSummary(plan)}
				</p>
				<p className="quiet">
					{hectares(plan.totals.areaHa)} ha to load for, {litres(plan.totals.mixL)} L of mix
				</p>
			</div>
			{plan.loads.length > 0 && <PlannedLoads plan={plan} />}
			{plan.alternatives.length > 1 && plan.loads.length > 1 && (
				<Ways
					plan={plan}
					recommended={recommended}
					chosen={wanted ?? recommended ?? plan.strategy}
					onStrategy={onStrategy}
				/>
			)}
			<AtTheEnd end={plan.end} />
			<WarningList warnings={plan.warnings} />
			<LimitFindings limits={plan.limits} fields={plan.loads.flatMap(({ ground }) => ground)} />
			{plan.toAnswer.length > 0 && (
				<Textarea
					label="Why it goes on against the warning"
					description="Stays with the job and on its records"
					required
					autosize
					minRows={2}
					maxLength={4000}
					value={why}
					onChange={(event) => onWhy(event.currentTarget.value)}
				/>
			)}
			<Cautions />
		</div>
	);
}

export function planSummary({ loads }: JobPlan): string {
	const [only] = loads;
	if (!only) return 'Nothing is to be made up.';
	if (loads.length === 1) return `One load of ${litres(only.totalL)} L.`;
	const amounts = [...new Set(loads.map(({ totalL }) => litres(totalL)))];
	return amounts.length === 1
		? `${count(loads.length, 'load')} of ${amounts[0]} L each.`
		: `${count(loads.length, 'load')}, the largest ${litres(Math.max(...loads.map(({ totalL }) => totalL)))} L.`;
}

export function PlannedLoads({ plan }: { readonly plan: JobPlan }) {
	return (
		<table className="table" aria-label="Loads">
			<thead>
				<tr>
					<th scope="col">Load</th>
					<th scope="col" className="number">
						ha
					</th>
					<th scope="col" className="number">
						in the tank
					</th>
					<th scope="col" className="number">
						containers
					</th>
					<th scope="col" className="number">
						measured pours
					</th>
					<th scope="col">Where it goes</th>
				</tr>
			</thead>
			<tbody>
				{plan.loads.map((load) => (
					<tr key={load.load}>
						<td>{load.load}</td>
						<td className="number">{hectares(load.areaHa)}</td>
						<td className="number">{litres(load.totalL)} L</td>
						<td className="number">{figure(load.containersToHandle)}</td>
						<td className="number">{figure(load.measuredPours)}</td>
						<td>{whereLoadEnds(plan.loads, load.load)}</td>
					</tr>
				))}
			</tbody>
		</table>
	);
}

/** The three ways to split beside each other; the arrow keys change over. */
export function Ways(props: {
	readonly plan: JobPlan;
	readonly recommended: Strategy | undefined;
	readonly chosen: Strategy;
	readonly onStrategy: (strategy: Strategy) => void;
}) {
	const { plan, recommended } = props;
	return (
		<fieldset className="group">
			<legend className="visually-hidden">Where the job is broken</legend>
			<table className="table ways" aria-label="Ways to split the job">
				<thead>
					<tr>
						<th scope="col">Broken into</th>
						<th scope="col" className="number">
							loads
						</th>
						<th scope="col" className="number">
							measured pours
						</th>
						<th scope="col" className="number">
							containers
						</th>
						<th scope="col" className="number">
							last load
						</th>
					</tr>
				</thead>
				<tbody>
					{plan.alternatives.map((way) => (
						<tr key={way.strategy} data-chosen={way.strategy === props.chosen || undefined}>
							<td>
								<label className="way">
									<input
										type="radio"
										name="strategy"
										value={way.strategy}
										checked={way.strategy === props.chosen}
										onChange={() => props.onStrategy(way.strategy)}
									/>
									{strategyWords[way.strategy]}
									{way.strategy === recommended && <span className="chip plain">recommended</span>}
								</label>
							</td>
							<td className="number">{figure(way.loads)}</td>
							<td className="number">{figure(way.measuredPours)}</td>
							<td className="number">{figure(way.containersOpened)}</td>
							<td className="number">{litres(way.lastLoadL)} L</td>
						</tr>
					))}
				</tbody>
			</table>
			{recommended && <p className="quiet above-small">{whyRecommended(recommended, plan.alternatives)}</p>}
		</fieldset>
	);
}
