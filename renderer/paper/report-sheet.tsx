import type { Report, ReportRow } from '../../shared/contract/season.ts';
import { longDate, timeOfDay } from '../format.ts';
import {
	cellWords,
	headWords,
	INFORMS,
	isLong,
	type PaperColumn,
	paperColumns,
	periodWords,
	rowsTogether,
	underWords,
} from './report-cells.ts';
import './report.css';
import { ShareBar } from './share-bar.tsx';

/** A season report on the page: on screen, and printed from the same HTML and CSS. */
export function ReportSheet({ report }: { readonly report: Report }) {
	const columns = paperColumns(report);
	const groups = rowsTogether(columns, report.rows);
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
							{columns.map((each) => {
								const { column, under } = each;
								return (
									<th key={column.key} scope="col" className={headClass(each, report.rows)}>
										{column.name}
										{column.unit !== undefined && <span className="unit"> {column.unit}</span>}
										{under.length > 0 && <span className="under">{under.map(({ name }) => name).join(', ')}</span>}
									</th>
								);
							})}
						</tr>
					</thead>
					{groups.map((rows, index) => (
						// biome-ignore lint/suspicious/noArrayIndexKey: rows of a finished report do not move
						<tbody key={index}>
							{rows.map((row, place) => (
								<Row
									// biome-ignore lint/suspicious/noArrayIndexKey: the same
									key={place}
									columns={place === 0 ? columns : columns.filter(({ column }) => !column.once)}
									row={row}
									rowSpan={place === 0 ? rows.length : 1}
								/>
							))}
							{report.totals && index === groups.length - 1 && <Row columns={columns} row={report.totals} total />}
						</tbody>
					))}
				</table>
			)}
			{report.notes.map((note) => (
				<p key={note} className="note">
					{note}
				</p>
			))}
			<footer className="on-screen">
				<p>
					Newest entries: {headWords(report).join(', ')}. Made {longDate(report.madeAt)} {timeOfDay(report.madeAt)}.{' '}
					{INFORMS}
				</p>
			</footer>
		</article>
	);
}

function headClass(column: PaperColumn, rows: readonly ReportRow[]): string | undefined {
	if (column.column.kind === 'number') return 'number';
	return joined(isLong(column, rows) && 'long', column.afterFigures && 'after-figures');
}

function joined(...names: readonly (string | false)[]): string | undefined {
	return names.filter((name) => name !== false).join(' ') || undefined;
}

type RowProps = {
	readonly columns: readonly PaperColumn[];
	readonly row: ReportRow;
	/** Rows that the cells written once stand for. */
	readonly rowSpan?: number;
	readonly total?: boolean;
};

function Row({ columns, row, rowSpan = 1, total = false }: RowProps) {
	return (
		<tr className={total ? 'total' : typeof row.withdrawn === 'string' ? 'struck' : undefined}>
			{columns.map(({ column, under, afterFigures }) => {
				const below = under.map((each) => underWords(each, row)).filter((words) => words !== '');
				return (
					<td
						key={column.key}
						className={joined(column.kind !== 'text' && column.kind, afterFigures && 'after-figures')}
						rowSpan={column.once && rowSpan > 1 ? rowSpan : undefined}
					>
						{column.bar && typeof row[column.key] === 'number' && <ShareBar share={Number(row[column.key])} />}
						{cellWords(column, row)}
						{below.length > 0 && (
							<span className="under">
								{below.map((words) => (
									<span
										key={words}
										className={
											words.length <= UNBROKEN[column.kind === 'number' ? 'figures' : 'words'] ? 'unbroken' : undefined
										}
									>
										{words}{' '}
									</span>
								))}
							</span>
						)}
					</td>
				);
			})}
		</tr>
	);
}

/** Characters of a fact that stays on one line: a number is not to be broken at its hyphen. A column of figures stays narrow. */
const UNBROKEN = { words: 26, figures: 20 };
