import type { Report, ReportRow } from '../../shared/contract/season.ts';
import { longDate, timeOfDay } from '../format.ts';
import {
	cellWords,
	headWords,
	INFORMS,
	type PaperColumn,
	paperColumns,
	periodWords,
	underWords,
} from './report-cells.ts';
import './report.css';
import { ShareBar } from './share-bar.tsx';

/** A season report on the page: on screen, and printed from the same HTML and CSS. */
export function ReportSheet({ report }: { readonly report: Report }) {
	const columns = paperColumns(report);
	return (
		<article className="report-sheet" aria-label={report.title}>
			<header>
				<h1>{report.title}</h1>
				<p className="of">
					{report.farm !== '' && <strong>{report.farm}</strong>} {periodWords(report)}
				</p>
			</header>
			{report.rows.length === 0 ? (
				<p>Nothing stands on the books for this period.</p>
			) : (
				<table>
					<thead>
						<tr>
							{columns.map(({ column, under }) => (
								<th key={column.key} scope="col" className={column.kind === 'number' ? 'number' : undefined}>
									{column.name}
									{column.unit !== undefined && <span className="unit"> {column.unit}</span>}
									{under.length > 0 && <span className="under">{under.map(({ name }) => name).join(', ')}</span>}
								</th>
							))}
						</tr>
					</thead>
					<tbody>
						{report.rows.map((row, index) => (
							// biome-ignore lint/suspicious/noArrayIndexKey: rows of a finished report do not move
							<Row key={index} columns={columns} row={row} />
						))}
						{report.totals && <Row columns={columns} row={report.totals} total />}
					</tbody>
				</table>
			)}
			{report.notes.map((note) => (
				<p key={note} className="note">
					{note}
				</p>
			))}
			<footer className="on-screen">
				<p>
					Newest entries: {headWords(report)}. Made {longDate(report.madeAt)} {timeOfDay(report.madeAt)}. {INFORMS}
				</p>
			</footer>
		</article>
	);
}

type RowProps = { readonly columns: readonly PaperColumn[]; readonly row: ReportRow; readonly total?: boolean };

function Row({ columns, row, total = false }: RowProps) {
	return (
		<tr className={total ? 'total' : typeof row.withdrawn === 'string' ? 'struck' : undefined}>
			{columns.map(({ column, under }) => {
				const below = under.map((each) => underWords(each, row)).filter((words) => words !== '');
				return (
					<td key={column.key} className={column.kind === 'text' ? undefined : column.kind}>
						{column.bar && typeof row[column.key] === 'number' && <ShareBar share={Number(row[column.key])} />}
						{cellWords(column, row)}
						{below.length > 0 && (
							<span className="under">
								{below.map((words) => (
									<span key={words}>{words} </span>
								))}
							</span>
						)}
					</td>
				);
			})}
		</tr>
	);
}
