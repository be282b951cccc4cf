import { Button } from '@mantine/core';
import { useId, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { count, figure, productName, shortDate } from '../../format.ts';
import { isOnGround, quantityWords } from '../../held-words.ts';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { CompleteDialog } from './complete-dialog.tsx';
import { dose, doseWords, lineDose, lineGround, shareWords, type Treatment } from './treatments.ts';

/** One treatment as a diary tells it: the day in the margin, what was done and why, with what, on which fields. */
export function TreatmentEntry(props: {
	readonly treatment: Treatment;
	readonly open: boolean;
	readonly onTurn: () => void;
}) {
	const farmUnits = useUnits();
	const { treatment, open } = props;
	const [completing, setCompleting] = useState(false);
	const linesId = useId();
	const { fields, lines, lacking } = treatment;
	const turnWords = open ? 'Hide the lines' : `Show ${count(lines.length, 'line')}`;
	return (
		<article className="treatment" aria-label={`${shortDate(treatment.lastDate)}, ${treatment.title}`}>
			<p className="day">
				<b>{dayWords(treatment.firstDate)}</b>
				{treatment.firstDate !== treatment.lastDate && <span> to {dayWords(treatment.lastDate)}</span>}
			</p>
			<div className="what">
				<h3>
					<Link href={`/jobs/${treatment.jobId}`}>{treatment.title}</Link>
				</h3>
				<p className="quiet">
					{isOnGround(treatment) && `${count(fields.length, 'field')}, `}
					{treatment.space && fields.length > 1 && `${count(fields.length, 'closed space')}, `}
					{farmUnits.say(lineGround({ ...treatment, washings: null }))} · {treatment.operators.join(', ')} ·{' '}
					{treatment.sprayer}
					{treatment.sprayVolumeLPerHa !== null && farmUnits.say(` at ${figure(treatment.sprayVolumeLPerHa)} L/ha`)}
					{treatment.carrier !== null && `, in ${treatment.carrier}`}
				</p>
				<p className="fields">{fields.map(({ name }) => name).join(', ')}</p>
				{treatment.washings.length > 0 && (
					<p className="quiet">
						Washings:{' '}
						{treatment.washings.map(({ field, areaHa }) => `${farmUnits.area(areaHa)} of ${field}`).join(', ')}
					</p>
				)}
				<div className="marks">
					{lacking.length > 0 && (
						<>
							<span className="chip">lacks {treatment.missing.join(', ')}</span>
							<Button className="screen-only" variant="subtle" size="xs" onClick={() => setCompleting(true)}>
								Complete {shareWords(lacking.length, lines.length)}
							</Button>
						</>
					)}
					{lacking.length === 0 && (
						<Button
							className="screen-only"
							variant="subtle"
							size="xs"
							aria-label={`Add to the lines of ${treatment.title}`}
							onClick={() => setCompleting(true)}
						>
							Add to it
						</Button>
					)}
					<NotKept lines={lines} />
					{treatment.unconfirmed > 0 && (
						<span className="chip plain">
							{shareWords(treatment.unconfirmed, lines.length)} as planned, not measured
						</span>
					)}
					<Button
						className="screen-only"
						variant="subtle"
						size="xs"
						aria-expanded={open}
						aria-controls={linesId}
						aria-label={`${turnWords} of ${treatment.title}`}
						onClick={props.onTurn}
					>
						{turnWords}
					</Button>
				</div>
			</div>
			<table className="used" aria-label="Products used">
				<tbody>
					{treatment.products.map((product) => (
						<tr key={product.productId}>
							<th scope="row">{product.name}</th>
							<td>{farmUnits.say(doseWords(product))}</td>
							<td>{farmUnits.amount(Number(product.amount.toFixed(2)), product.unit)}</td>
						</tr>
					))}
				</tbody>
			</table>
			<div id={linesId} className="lines" hidden={!open}>
				{open && <Lines lines={lines} title={treatment.title} />}
			</div>
			<CompleteDialog jobId={treatment.jobId} opened={completing} onClose={() => setCompleting(false)} />
		</article>
	);
}

/** On how many lines a label limit was not kept, as it stood when they were logged. */
function NotKept({ lines }: { readonly lines: readonly RecordLine[] }) {
	const notKept = lines.filter(hasNotKept).length;
	if (notKept === 0) return null;
	return <span className="chip">a limit not kept on {shareWords(notKept, lines.length)}</span>;
}

function hasNotKept({ findings, state }: RecordLine): boolean {
	return findings.length > 0 && state === 'current';
}

type Row = { readonly line: RecordLine; readonly firstOfField: boolean };

function Lines({ lines, title }: { readonly lines: readonly RecordLine[]; readonly title: string }) {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const rows = lines.map((line, index) => ({ line, firstOfField: lines[index - 1]?.field !== line.field }));
	return (
		<Table
			caption={`Lines of ${title}`}
			rows={rows}
			rowKey={({ line }) => line.id}
			columns={columnsOf(lines, farmUnits)}
			onOpen={({ line }) => go(`/records/${line.id}`)}
			muted={({ line }) => line.state === 'reversed'}
		/>
	);
}

function columnsOf(lines: readonly RecordLine[], farmUnits: Units): Column<Row>[] {
	const severalDays = new Set(lines.map(({ date }) => date)).size > 1;
	const severalLoads = new Set(lines.map(({ load }) => load)).size > 1;
	const offGround = lines.find((line) => !isOnGround(line));
	const anyMarked = lines.some((line) => marksOf(line).length > 0);
	return [
		{
			key: 'field',
			head: 'Field',
			cell: ({ line, firstOfField }) =>
				firstOfField ? line.field : <span className="visually-hidden">{line.field}</span>,
		},
		...(severalDays ? [{ key: 'date', head: 'Date', cell: ({ line }: Row) => shortDate(line.date) }] : []),
		...(severalLoads ? [{ key: 'load', head: 'load', number: true, cell: ({ line }: Row) => line.load }] : []),
		{
			key: 'area',
			head: offGround ? (offGround.space ? 'treated' : 'seed') : farmUnits.name('ha'),
			number: true,
			cell: ({ line }) => areaCell(line, farmUnits),
		},
		{ key: 'product', head: 'Product', cell: ({ line }) => productName(line.product, line.formulation) },
		{
			key: 'dose',
			head: offGround || farmUnits.units !== 'metric' ? 'dose' : 'per ha',
			number: true,
			cell: ({ line }) =>
				offGround || farmUnits.units !== 'metric' ? farmUnits.say(lineDose(line)) : dose(line.dosePerHa ?? 0),
		},
		{
			key: 'amount',
			head: 'amount',
			number: true,
			cell: ({ line }) => farmUnits.amount(line.amount < 1 ? line.amount : Number(line.amount.toFixed(2)), line.unit),
		},
		...(anyMarked
			? [
					{
						key: 'marks',
						head: 'Look',
						cell: ({ line }: Row) => marksOf(line).map((mark) => <Mark key={mark} {...{ mark }} />),
					},
				]
			: []),
	];
}

function areaCell({ seed, space, treatedHa, washings }: RecordLine, farmUnits: Units): string {
	if (washings) return farmUnits.hectares(washings.areaHa);
	const treated = seed ?? space;
	return treated === null ? farmUnits.hectares(treatedHa) : quantityWords(treated.amount, treated.unit);
}

function Mark({ mark }: { readonly mark: string }) {
	return <span className={mark.startsWith('lacks') || mark === NOT_KEPT ? 'chip' : 'chip plain'}>{mark}</span>;
}

const NOT_KEPT = 'limit not kept';

function marksOf(line: RecordLine): string[] {
	const { missing, confirmed, state, version, washings } = line;
	return [
		washings ? 'washings' : '',
		hasNotKept(line) ? NOT_KEPT : '',
		missing.length > 0 ? `lacks ${missing.join(', ')}` : '',
		confirmed ? '' : 'as planned',
		state === 'reversed' ? 'taken back' : version > 1 ? `version ${version}` : '',
	].filter((mark) => mark !== '');
}

/** `18 Nov` */
function dayWords(date: string): string {
	return shortDate(date).replace(/ \d{4}$/, '');
}
