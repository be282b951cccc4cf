import { Button } from '@mantine/core';
import { useEffect } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Recommendation } from '../../../shared/contract/recommendations.ts';
import { shortDate } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { groundWords, planFrom, type RecommendedPlan, whoseWords } from './recommendation-words.ts';

type Deviations = readonly { readonly kind: string; readonly say: string }[];

/** Starts the plan from the recommendation the page was opened with, once. */
export function useStartFrom(
	from: string | undefined,
	fields: readonly FieldRow[],
	onChoose: (plan: RecommendedPlan) => void,
): void {
	const [, go] = useLocation();
	const all = useProcedure(['recommendations'], (api) => api.recommendations.list({}), { enabled: from !== undefined });
	const found = all.answer?.find(({ id }) => id === from);
	// biome-ignore lint/correctness/useExhaustiveDependencies: once, when it is there
	useEffect(() => {
		if (!found) return;
		onChoose(planFrom(found, fields));
		go('/jobs/new', { replace: true });
	}, [found?.id]);
}

/** Lets a plan start from an adviser's recommendation, and says from which it started. */
export function StartFromRecommendation(props: {
	readonly chosen: string | null;
	readonly fields: readonly FieldRow[];
	readonly onChoose: (plan: RecommendedPlan) => void;
	readonly onLeave: () => void;
}) {
	const all = useProcedure(['recommendations'], (api) => api.recommendations.list({})).answer ?? [];
	const chosen = all.find(({ id }) => id === props.chosen);
	const open = all.filter(({ state }) => state !== 'withdrawn');
	if (chosen) {
		return (
			<p className="above-small">
				From the recommendation of <Link href="/jobs/recommendations">{whoseWords(chosen)}</Link>
				<span className="quiet">, valid until {shortDate(chosen.validUntil)}</span>{' '}
				<Button size="compact-sm" variant="subtle" onClick={props.onLeave}>
					Plan without it
				</Button>
			</p>
		);
	}
	if (open.length === 0) return null;
	return (
		<div className="starting-points">
			<Pick
				label="Start from a recommendation"
				placeholder="an adviser’s recommendation"
				value={null}
				options={open.map((each) => ({ value: each.id, label: optionWords(each) }))}
				onChange={(id) => {
					const found = all.find((each) => each.id === id);
					if (found) props.onChoose(planFrom(found, props.fields));
				}}
			/>
		</div>
	);
}

function optionWords(recommendation: Recommendation): string {
	const { adviser, givenOn, state } = recommendation;
	const mark = state === 'ran out' ? ' · ran out' : '';
	return `${adviser}, ${shortDate(givenOn)} · ${groundWords(recommendation)}${mark}`;
}

/** Where a plan departs from its recommendation; nothing where it started from none. */
export function DeviationList({ deviations }: { readonly deviations: Deviations | undefined }) {
	const units = useUnits();
	if (deviations === undefined) return null;
	return (
		<section aria-label="Against the recommendation" className="limit-findings">
			<h2>Against the recommendation</h2>
			{deviations.length === 0 ? (
				<p className="quiet">It is followed: day, fields, products, doses and water as recommended.</p>
			) : (
				<ul className="plain-list findings">
					{deviations.map(({ kind, say }) => (
						<li key={say}>
							<span className="chip">{kind}</span>
							<span>{units.say(say)}</span>
						</li>
					))}
				</ul>
			)}
		</section>
	);
}

/** The recommendation a job was planned from, where it departs from it, and loads sprayed when it no longer held. */
export function FollowedRecommendation(props: {
	readonly jobId: string;
	readonly sprayed: readonly { readonly load: number; readonly on: string }[];
}) {
	const { jobId, sprayed } = props;
	const asked = useProcedure(['recommendations', 'of job', jobId], (api) => api.recommendations.ofJob({ jobId }));
	if (!asked.answer) return null;
	const { recommendation, deviations } = asked.answer;
	const late = sprayed.filter(({ on }) => on > recommendation.validUntil);
	return (
		<>
			<p className="above-small">
				On the recommendation of <Link href="/jobs/recommendations">{whoseWords(recommendation)}</Link>
				<span className="quiet">, valid until {shortDate(recommendation.validUntil)}</span>{' '}
				{recommendation.withdrawn && <span className="chip">withdrawn: {recommendation.withdrawn.why}</span>}
			</p>
			<DeviationList
				deviations={[
					...deviations,
					...late.map(({ load, on }) => ({
						kind: 'date',
						say: `Load ${load} was sprayed on ${shortDate(on)}, when it no longer held.`,
					})),
				]}
			/>
		</>
	);
}
