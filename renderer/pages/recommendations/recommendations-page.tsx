import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { Recommendation } from '../../../shared/contract/recommendations.ts';
import { count, shortDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';
import { groundWords, mixWords } from './recommendation-words.ts';

/** Every recommendation an adviser gave, with what became of it. */
export function RecommendationsPage() {
	const units = useUnits();
	const [, go] = useLocation();
	const all = useProcedure(['recommendations'], (api) => api.recommendations.list({}));
	const [withdrawing, setWithdrawing] = useState<Recommendation | null>(null);
	return (
		<Page title="Recommendations">
			<section>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link>
				</p>
				<PageHead
					title="Recommendations"
					under="What advisers recommended; a job planned from one keeps where it departs."
				>
					<Button onClick={() => go('/jobs/recommendations/new')}>Enter a recommendation</Button>
				</PageHead>
				<Answered asked={all}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title="No recommendation is on the books yet.">
								An adviser’s sheet is entered once: who, until when it holds, fields or crop, products with their doses.
								A plan can then start from it.
							</Empty>
						) : (
							<Table
								caption="Recommendations, newest first"
								rows={rows}
								rowKey={(row) => row.id}
								muted={(row) => row.state === 'withdrawn'}
								columns={columns((row) => go(`/jobs/new/from/${row.id}`), setWithdrawing, units)}
							/>
						)
					}
				</Answered>
			</section>
			<Dialog title="Withdraw the recommendation" opened={withdrawing !== null} onClose={() => setWithdrawing(null)}>
				{withdrawing && <Withdraw recommendation={withdrawing} onClose={() => setWithdrawing(null)} />}
			</Dialog>
		</Page>
	);
}

function columns(
	onPlan: (row: Recommendation) => void,
	onWithdraw: (row: Recommendation) => void,
	units: Units,
): Column<Recommendation>[] {
	return [
		{
			key: 'given',
			head: 'Given',
			sort: (row) => row.givenOn,
			cell: (row) => <span className="nowrap">{shortDate(row.givenOn)}</span>,
		},
		{
			key: 'adviser',
			head: 'Adviser',
			sort: (row) => row.adviser,
			cell: (row) => (
				<>
					{row.adviser}
					<span className="second">
						{[row.certificateNo ?? 'no certificate number', row.reference && `no. ${row.reference}`]
							.filter(Boolean)
							.join(', ')}
					</span>
				</>
			),
		},
		{
			key: 'what',
			head: 'Recommended',
			cell: (row) => (
				<>
					{units.say(mixWords(row))}
					<span className="second">
						{[row.reason, row.growthStage && `growth stage ${row.growthStage}`, row.note].filter(Boolean).join('; ')}
					</span>
				</>
			),
		},
		{ key: 'ground', head: 'For', cell: (row) => <span className="quiet">{groundWords(row)}</span> },
		{
			key: 'until',
			head: 'Holds until',
			sort: (row) => row.validUntil,
			cell: (row) => (
				<>
					<span className="nowrap">{shortDate(row.validUntil)}</span> <State row={row} />
				</>
			),
		},
		{ key: 'jobs', head: 'jobs', number: true, sort: (row) => row.jobs, cell: (row) => row.jobs },
		{
			key: 'acts',
			head: <span className="visually-hidden">What to do</span>,
			cell: (row) =>
				row.withdrawn ? null : (
					<span className="row">
						<Button size="compact-sm" variant="default" onClick={() => onPlan(row)}>
							Plan from it
						</Button>
						<Button size="compact-sm" variant="subtle" onClick={() => onWithdraw(row)}>
							Withdraw
						</Button>
					</span>
				),
		},
	];
}

function State({ row }: { readonly row: Recommendation }) {
	if (row.withdrawn) {
		return (
			<>
				<span className="chip plain">withdrawn</span>
				<span className="second">
					{row.withdrawn.why}; {row.withdrawn.by}, {shortDate(row.withdrawn.at)}
				</span>
			</>
		);
	}
	return row.state === 'holds' ? null : <span className="chip">{row.state}</span>;
}

function Withdraw({
	recommendation,
	onClose,
}: {
	readonly recommendation: Recommendation;
	readonly onClose: () => void;
}) {
	const units = useUnits();
	const [why, setWhy] = useState('');
	const usual = useUsualOperator();
	const [signed, setBy] = useState<string | null>(null);
	const by = signed ?? usual;
	const withdraw = useCommand(
		(api, wanted: { why: string; by: string }, key) =>
			api.recommendations.withdraw({ key, id: recommendation.id, ...wanted }),
		onClose,
	);
	return (
		<EntryForm
			command={withdraw}
			onSubmit={() => withdraw.run({ why: why.trim(), by: by.trim() })}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={withdraw.busy}>
						Withdraw it
					</Button>
				</>
			}
		>
			<p>
				{recommendation.adviser}, {shortDate(recommendation.givenOn)}: {units.say(mixWords(recommendation))}. It stays
				on the list
				{recommendation.jobs > 0 && `, and ${count(recommendation.jobs, 'job')} planned from it keep it`}.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}
