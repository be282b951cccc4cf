import { Button } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import type { StockTake, TakeLine } from '../../../shared/contract/stock-take.ts';
import { bareAmount, formulationAfter } from '../../format.ts';
import { EntryForm, Facts, Page } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { CountCourse } from './count-course.tsx';
import { disagreements } from './counted-twice.ts';
import { ApproveTake } from './take-end.tsx';
import { LookInto } from './take-look.tsx';

/** Counted against book, the furthest apart first; each is accepted with a reason or left open; then it is signed. */
export function TakeCompare(props: {
	readonly take: StockTake;
	readonly lines: readonly TakeLine[];
	readonly head: ReactNode;
	readonly onCount: () => void;
}) {
	const units = useUnits();
	const { take, lines } = props;
	const [chosen, setChosen] = useState<string | null>(null);
	const line = lines.find((each) => each.productId === chosen) ?? lines.find(needsWord) ?? lines[0];
	return (
		<Page title="Stock take" columns={line ? 'two' : 'one'}>
			<section>
				{props.head}
				{take.outcome === null && <ApproveTake takeId={take.id} lines={lines} />}
				<Table
					caption="Counted against the book"
					rows={lines}
					columns={columnsIn(units)}
					rowKey={(row) => row.productId}
					onOpen={(row) => setChosen(row.productId)}
					selected={line?.productId}
					muted={(row) => row.counted === null}
				/>
			</section>
			{line && (
				<OneDifference
					key={line.productId}
					take={take}
					line={line}
					onCount={props.onCount}
					onSettled={() => setChosen(null)}
				/>
			)}
		</Page>
	);
}

export function needsWord(line: TakeLine): boolean {
	return line.beyond && line.verdict === null && !line.posted;
}

const columnsIn = ({ amount, signed, value }: Units): readonly Column<TakeLine>[] => [
	{
		key: 'name',
		head: 'Product',
		sort: (row) => row.name,
		cell: (row) => (
			<>
				{row.name} <span className="quiet">{formulationAfter(row.name, row.formulation)}</span>
			</>
		),
	},
	{
		key: 'counted',
		head: 'counted',
		number: true,
		sort: (row) => row.counted,
		cell: (row) => (row.counted === null ? 'not counted' : <b>{amount(row.counted, row.unit)}</b>),
	},
	{
		key: 'book',
		head: 'by the book',
		number: true,
		cell: (row) => <span className="quiet">{bareAmount(row.book === null ? null : value(row.book, row.unit))}</span>,
	},
	{
		key: 'difference',
		head: 'apart',
		number: true,
		sort: (row) => row.difference,
		cell: (row) =>
			row.difference === null ? (
				''
			) : row.beyond ? (
				<span className="chip">{signed(row.difference, row.unit, 2)}</span>
			) : (
				signed(row.difference, row.unit, 2)
			),
	},
	{
		key: 'likely',
		head: 'measuring ±',
		number: true,
		cell: (row) =>
			row.likelySize === null ? (
				''
			) : (
				<span className="quiet">{bareAmount(Number(value(row.likelySize, row.unit).toFixed(2)))}</span>
			),
	},
	{ key: 'settled', head: 'Settled', cell: (row) => settledWords(row) },
];

function settledWords(line: TakeLine): ReactNode {
	if (line.counted === null) return <span className="quiet">–</span>;
	if (line.verdict === 'open' && !line.posted) return <span className="chip">left open</span>;
	if (line.posted) return line.difference === 0 ? 'agrees' : 'posted';
	if (line.verdict === 'accepted') return 'accepted';
	if (line.difference === 0) return 'agrees';
	return line.beyond ? <b>needs a word</b> : <span className="quiet">within measuring</span>;
}

function OneDifference(props: {
	readonly take: StockTake;
	readonly line: TakeLine;
	readonly onCount: () => void;
	readonly onSettled: () => void;
}) {
	const { amount, signed, name } = useUnits();
	const { take, line } = props;
	return (
		<section aria-label={line.name}>
			<h1>{line.name}</h1>
			<p className="quiet">{line.formulation}</p>
			{line.counted === null ? (
				<>
					<p className="above">It was not counted. Its book stays as it is.</p>
					{take.outcome === null && (
						<p className="above">
							<Button variant="default" onClick={props.onCount}>
								Count it
							</Button>
						</p>
					)}
				</>
			) : (
				<>
					<p className="big-figure store" style={{ margin: '12px 0' }}>
						{signed(line.difference, line.unit, 2)} {name(line.unit)}
					</p>
					<Facts
						items={[
							['Counted', amount(line.counted, line.unit)],
							['By the book', amount(line.book, line.unit)],
							line.likelySize !== null && [
								'What measuring explains',
								`± ${amount(Number(line.likelySize.toFixed(2)), line.unit)}`,
							],
							line.why !== null && [line.verdict === 'open' ? 'Left open' : 'Accepted', line.why],
						]}
					/>
					{disagreements(line).map(({ place, stands, other }) => (
						<p className="above" key={place}>
							<span className="chip">two counts differ</span> {place || 'The same place'}: {other.by} found{' '}
							{amount(other.amount, line.unit)}, then {stands.by} {amount(stands.amount, line.unit)}.
						</p>
					))}
					{!line.posted && line.difference !== 0 && take.outcome !== 'dropped' && <Settle {...props} />}
					{line.difference !== 0 && <LookInto takeId={take.id} line={line} />}
				</>
			)}
			<CountCourse productId={line.productId} storeId={take.storeId} />
		</section>
	);
}

function Settle(props: { readonly take: StockTake; readonly line: TakeLine; readonly onSettled: () => void }) {
	const { take, line } = props;
	const [why, setWhy] = useState(line.why ?? '');
	const [by, setBy] = useState(useUsualOperator());
	const settle = useCommand(
		(api, verdict: 'accepted' | 'open', key) =>
			api.store.settleDifference({ key, takeId: take.id, productId: line.productId, verdict, why, by }),
		props.onSettled,
	);
	return (
		<div className="above">
			<EntryForm
				command={settle}
				onSubmit={() => settle.run('accepted')}
				foot={
					<>
						{take.outcome === null && (
							<Button
								variant="default"
								disabled={why.trim() === '' || by.trim() === ''}
								onClick={() => settle.run('open')}
							>
								Leave it open
							</Button>
						)}
						<Button type="submit" loading={settle.busy}>
							{take.outcome === null ? 'Accept it' : 'Accept and post it'}
						</Button>
					</>
				}
			>
				<WhyInput description="What explains it, or what is to be looked into" value={why} onChange={setWhy} />
				<ByInput value={by} onChange={setBy} />
			</EntryForm>
		</div>
	);
}
