import type { JobPlan, Strategy } from '../../../shared/contract/jobs-plan.ts';
import { bringsWords } from '../../../shared/core/products/nutrient.ts';
import { capital, count, figure } from '../../format.ts';
import { applicatorFillWords, carrierWords, heldOf, heldWords, slurryWords } from '../../held-words.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import { type Units, useUnits } from '../../units.ts';
import type { Asked } from '../../use-procedure.ts';
import { AtTheEnd } from './end-of-job.tsx';
import { strategyWords, whereLoadEnds, whyRecommended } from './job-words.ts';
import { LimitFindings } from './limit-findings.tsx';
import { OverrideWhy } from './override-why.tsx';
import { SpacesInTurn } from './spaces-in-turn.tsx';

type Props = {
	readonly asked: Asked<JobPlan>;
	readonly recommended: Strategy | undefined;
	/** The way asked for; null: the recommended one. */
	readonly wanted: Strategy | null;
	readonly needed: readonly string[];
	/** How seed is counted, where it is treated. */
	readonly seedUnit: 'kg' | 'unit';
	readonly why: string;
	readonly onWhy: (why: string) => void;
	readonly onStrategy: (strategy: Strategy) => void;
};

/** The plan that follows from what is entered so far: loads, other ways to split, what stands against it. */
export function PlanPreview({ asked, recommended, wanted, needed, seedUnit, why, onWhy, onStrategy }: Props) {
	const farmUnits = useUnits();
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
					{farmUnits.say(planSummary(plan, seedUnit))}
				</p>
				<p className="quiet">{underSummary(plan, farmUnits)}</p>
				{plan.loads.flatMap(applicatorFillWords).map((words) => (
					<p key={words}>{words}</p>
				))}
				{plan.carrier && <p className="quiet">{carrierWords(plan.carrier)}</p>}
				{plan.totals.nutrients && <p className="quiet">{bringsWords(plan.totals.nutrients)}</p>}
			</div>
			{plan.loads.length > 0 && <PlannedLoads plan={plan} seedUnit={seedUnit} />}
			{plan.loads[0] && <SpacesInTurn load={plan.loads[0]} />}
			{plan.alternatives.length > 1 && plan.loads.length > 1 && (
				<Ways
					plan={plan}
					seedUnit={seedUnit}
					recommended={recommended}
					chosen={wanted ?? recommended ?? plan.strategy}
					onStrategy={onStrategy}
				/>
			)}
			<AtTheEnd end={plan.end} rest={isNeat(plan.loads[0]) ? 'product' : 'mix'} />
			<WarningList warnings={plan.warnings} />
			<LimitFindings
				limits={plan.limits}
				fields={plan.loads.flatMap(({ ground }) => ground)}
				spaces={plan.loads[0]?.spaces}
			/>
			{plan.toAnswer.length > 0 && <OverrideWhy value={why} onChange={onWhy} />}
			<Cautions />
		</div>
	);
}

export function planSummary({ loads }: JobPlan, seedUnit?: 'kg' | 'unit'): string {
	const [only] = loads;
	if (!only) return 'Nothing is to be made up.';
	const { one, several, unit, held } = heldWords(only, seedUnit);
	const spaces = only.spaces?.length ?? 0;
	const within = spaces > 1 ? ` in ${count(spaces, 'closed space')}` : '';
	if (loads.length === 1) return `One ${one} of ${held(only)} ${unit}${within}.`;
	const amounts = [...new Set(loads.map(held))];
	const largest = loads.reduce((most, load) => (heldOf(load) > heldOf(most) ? load : most), only);
	return amounts.length === 1
		? `${count(loads.length, one, several)} of ${amounts[0]} ${unit} each.`
		: `${count(loads.length, one, several)}, the largest ${held(largest)} ${unit}.`;
}

function underSummary({ loads, totals }: JobPlan, farmUnits: Units): string {
	const [first] = loads;
	const ha = `${farmUnits.area(totals.areaHa)}`;
	if (first?.seed !== undefined) {
		const sown = totals.areaHa > 0 ? `to be sown on ${ha}` : 'counts as treated ground once it is sown';
		return [farmUnits.say(slurryInAll(loads)), sown].filter(Boolean).join(' · ');
	}
	if (first?.space !== undefined) {
		return first.totalL > 0
			? farmUnits.say(`${figure(first.totalL, 1)} L of mix: ${figure(first.waterL, 1)} L of water and the products`)
			: 'the products go out as they are';
	}
	if (first?.hopperKg !== undefined) return `${ha} to spread`;
	const held = isNeat(first) ? 'product, no water' : 'mix';
	return `${ha} to load for, ${farmUnits.volume(totals.mixL)} of ${held}`;
}

/** Is all that is in the tank product? */
function isNeat(load: JobPlan['loads'][number] | undefined): boolean {
	return load !== undefined && load.displacementL === load.newMixL;
}

function slurryInAll(loads: JobPlan['loads']): string {
	if (loads[0]?.slurryL === undefined) return '';
	const sum = (of: (load: JobPlan['loads'][number]) => number) =>
		Math.round(loads.reduce((total, load) => total + of(load), 0) * 1000) / 1000;
	return slurryWords({ slurryL: sum(({ slurryL = 0 }) => slurryL), waterL: sum(({ waterL }) => waterL) });
}

export function PlannedLoads({
	plan,
	seedUnit,
}: {
	readonly plan: JobPlan;
	readonly seedUnit?: 'kg' | 'unit' | undefined;
}) {
	const farmUnits = useUnits();
	const [first] = plan.loads;
	const { one, place, unit, held } = heldWords(first, seedUnit);
	const withWater = first?.slurryL !== undefined;
	const onGround = first?.seed === undefined && first?.space === undefined;
	return (
		<table className="table" aria-label="Loads">
			<thead>
				<tr>
					<th scope="col">{capital(one)}</th>
					{onGround && (
						<th scope="col" className="number">
							{farmUnits.name('ha')}
						</th>
					)}
					<th scope="col" className="number">
						{place}
					</th>
					{withWater && (
						<th scope="col" className="number">
							water
						</th>
					)}
					{plan.carrier && (
						<th scope="col" className="number">
							fertiliser
						</th>
					)}
					{plan.carrier && plan.totals.waterL > 0.5 && (
						<th scope="col" className="number">
							water
						</th>
					)}
					<th scope="col" className="number">
						containers
					</th>
					<th scope="col" className="number">
						measured pours
					</th>
					{onGround && <th scope="col">Where it goes</th>}
				</tr>
			</thead>
			<tbody>
				{plan.loads.map((load) => (
					<tr key={load.load}>
						<td>{load.load}</td>
						{onGround && <td className="number">{farmUnits.hectares(load.areaHa)}</td>}
						<td className="number">{farmUnits.say(`${held(load)} ${unit}`)}</td>
						{withWater && <td className="number">{farmUnits.amount(load.waterL, 'L')}</td>}
						{plan.carrier && <td className="number">{farmUnits.volume(load.carrierL)}</td>}
						{plan.carrier && plan.totals.waterL > 0.5 && <td className="number">{farmUnits.volume(load.waterL)}</td>}
						<td className="number">{figure(load.containersToHandle)}</td>
						<td className="number">{figure(load.measuredPours)}</td>
						{onGround && <td>{whereLoadEnds(plan.loads, load.load, farmUnits)}</td>}
					</tr>
				))}
			</tbody>
		</table>
	);
}

/** The three ways to split beside each other; the arrow keys change over. */
export function Ways(props: {
	readonly plan: JobPlan;
	readonly seedUnit?: 'kg' | 'unit' | undefined;
	readonly recommended: Strategy | undefined;
	readonly chosen: Strategy;
	readonly onStrategy: (strategy: Strategy) => void;
}) {
	const farmUnits = useUnits();
	const { plan, recommended } = props;
	const { unit, one, several, vessels } = heldWords(plan.loads[0], props.seedUnit);
	return (
		<fieldset className="group">
			<legend className="visually-hidden">Where the job is broken</legend>
			<table className="table ways" aria-label="Ways to split the job">
				<thead>
					<tr>
						<th scope="col">Broken into</th>
						<th scope="col" className="number">
							{several}
						</th>
						<th scope="col" className="number">
							measured pours
						</th>
						<th scope="col" className="number">
							containers
						</th>
						<th scope="col" className="number">
							last {one}
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
									{strategyWords(way.strategy, { several, vessels })}
									{way.strategy === recommended && <span className="chip plain">recommended</span>}
								</label>
							</td>
							<td className="number">{figure(way.loads)}</td>
							<td className="number">{figure(way.measuredPours)}</td>
							<td className="number">{figure(way.containersOpened)}</td>
							<td className="number">
								{way.last === undefined
									? farmUnits.volume(way.lastLoadL)
									: farmUnits.say(`${figure(way.last)} ${unit}`)}
							</td>
						</tr>
					))}
				</tbody>
			</table>
			{recommended && <p className="quiet above-small">{whyRecommended(recommended, plan.alternatives)}</p>}
		</fieldset>
	);
}
