import type { Report, ReportRow } from '../../shared/contract/season.ts';
import { longDate, timeOfDay } from '../format.ts';
import {
	cellWords,
	headWords,
	INFORMS,
	isLong,
	lineBelow,
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
									columns={columns}
									row={row}
									first={place === 0}
									lines={rows.length + rows.filter((each) => lineBelow(columns, each)).length}
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
	/** The first of those that stand together writes once what they share, over so many lines. */
	readonly first?: boolean;
	readonly lines?: number;
	readonly total?: boolean;
};

function Row({ columns, row, first = true, lines = 1, total = false }: RowProps) {
	const below = total ? null : lineBelow(columns, row);
	const struck = typeof row.withdrawn === 'string' && 'struck';
	return (
		<>
			<tr className={joined(total && 'total', struck, below !== null && 'goes-on')}>
				{columns
					.filter(({ column }) => first || !column.once)
					.map((each) => (
						<Cell
							key={each.column.key}
							of={each}
							row={row}
							rowSpan={each.column.once && lines > 1 ? lines : undefined}
						/>
					))}
			</tr>
			{below && (
				<tr className={joined(struck)}>
					{below.map(({ key, span, words, afterFigures }) => (
						<td key={key} colSpan={span} className={joined(afterFigures && 'after-figures')}>
							{words.length > 0 && <span className="under">{words.join('; ')}</span>}
						</td>
					))}
				</tr>
			)}
		</>
	);
}

type CellProps = { readonly of: PaperColumn; readonly row: ReportRow; readonly rowSpan: number | undefined };

function Cell({ of: { column, under, afterFigures }, row, rowSpan }: CellProps) {
	const below = under.map((each) => underWords(each, row)).filter((words) => words !== '');
	const unbroken = UNBROKEN[column.kind === 'number' ? 'figures' : 'words'];
	return (
		<td className={joined(column.kind !== 'text' && column.kind, afterFigures && 'after-figures')} rowSpan={rowSpan}>
			{column.bar && typeof row[column.key] === 'number' && <ShareBar share={Number(row[column.key])} />}
			{cellWords(column, row)}
			{below.length > 0 && (
				<span className="under">
					{below.map((words) => (
						<span key={words} className={words.length <= unbroken ? 'unbroken' : undefined}>
							{words}{' '}
						</span>
					))}
				</span>
			)}
		</td>
	);
}

/** Characters of a fact that stays on one line: a number is not to be broken at its hyphen. A column of figures stays narrow. */
const UNBROKEN = { words: 26, figures: 20 };
