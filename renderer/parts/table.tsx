import { type KeyboardEvent, type ReactNode, useMemo, useRef, useState } from 'react';

export type Column<Row> = {
	readonly key: string;
	readonly head: ReactNode;
	readonly cell: (row: Row) => ReactNode;
	/** Figures stand at the right. */
	readonly number?: boolean;
	/** Makes the head a button that sorts by this. */
	readonly sort?: (row: Row) => string | number | null;
	readonly width?: string;
	readonly foot?: ReactNode;
};

type TableProps<Row> = {
	readonly rows: readonly Row[];
	readonly columns: readonly Column<Row>[];
	readonly rowKey: (row: Row) => string;
	/** Names the table for a screen reader; shown above it with `showCaption`. */
	readonly caption: string;
	readonly showCaption?: boolean;
	/** Enter, Space or a click on a row. */
	readonly onOpen?: ((row: Row) => void) | undefined;
	/** The row the focus or the pointer is on, null when it leaves: lets a map follow the list. */
	readonly onPoint?: ((row: Row | null) => void) | undefined;
	readonly selected?: string | null | undefined;
	readonly muted?: (row: Row) => boolean;
	/** The column the rows are sorted by at first; otherwise they stay as they come. */
	readonly sortedBy?: string;
	/** A height makes the table scroll inside itself; above 200 rows only those in view are drawn. */
	readonly height?: string | undefined;
};

type Sorting = { readonly key: string; readonly down: boolean } | null;

const ROW_HEIGHT = 42;
const DRAW_ALL_UP_TO = 200;
const MARGIN_ROWS = 12;

/** A ledger table: sorted by its heads, walked with the arrow keys, opened with Enter. */
export function Table<Row>(props: TableProps<Row>) {
	const [sorting, setSorting] = useState<Sorting>(
		props.sortedBy === undefined ? null : { key: props.sortedBy, down: false },
	);
	const [at, setAt] = useState(0);
	const [top, setTop] = useState(0);
	const frame = useRef<HTMLDivElement>(null);
	const rows = useMemo(() => sorted(props.rows, props.columns, sorting), [props.rows, props.columns, sorting]);
	const windowed = props.height !== undefined && rows.length > DRAW_ALL_UP_TO;
	const view = windowed
		? rowsInView(rows.length, top, frame.current?.clientHeight ?? 800)
		: { from: 0, to: rows.length };
	const walkable = props.onOpen !== undefined;

	function walk(event: KeyboardEvent): void {
		const to = nextRow(event.key, at, rows.length);
		if (to === undefined) return;
		event.preventDefault();
		setAt(to);
		if (windowed) frame.current?.scrollTo({ top: Math.max(0, (to - 3) * ROW_HEIGHT) });
		requestAnimationFrame(() => focusRow(frame.current, to));
	}

	function open(event: KeyboardEvent, row: Row): void {
		if ((event.key !== 'Enter' && event.key !== ' ') || event.target !== event.currentTarget) return;
		event.preventDefault();
		props.onOpen?.(row);
	}

	const current = Math.min(at, Math.max(0, rows.length - 1));
	return (
		<div
			className="table-frame"
			ref={frame}
			style={
				props.height === undefined
					? undefined
					: { maxHeight: props.height, ['--row-height' as string]: `${ROW_HEIGHT}px` }
			}
			onScroll={windowed ? (event) => setTop(event.currentTarget.scrollTop) : undefined}
		>
			<table
				className={windowed ? 'table windowed' : 'table'}
				role={walkable ? 'grid' : undefined}
				aria-rowcount={windowed ? rows.length + 1 : undefined}
				aria-label={props.showCaption ? undefined : props.caption}
			>
				{props.showCaption && <caption>{props.caption}</caption>}
				<thead>
					<tr>
						{props.columns.map((column) => (
							<Head key={column.key} column={column} sorting={sorting} onSort={setSorting} />
						))}
					</tr>
				</thead>
				<tbody onKeyDown={walkable ? walk : undefined} onMouseLeave={() => props.onPoint?.(null)}>
					{view.from > 0 && <Gap rows={view.from} columns={props.columns.length} />}
					{rows.slice(view.from, view.to).map((row, offset) => {
						const index = view.from + offset;
						const key = props.rowKey(row);
						return (
							<tr
								key={key}
								data-row={index}
								className={rowClass(walkable, props.muted?.(row) ?? false)}
								tabIndex={walkable ? (index === current ? 0 : -1) : undefined}
								aria-selected={walkable ? key === props.selected : undefined}
								aria-rowindex={windowed ? index + 2 : undefined}
								onClick={walkable ? (event) => opensRow(event.target) && props.onOpen?.(row) : undefined}
								onKeyDown={walkable ? (event) => open(event, row) : undefined}
								onFocus={() => {
									setAt(index);
									props.onPoint?.(row);
								}}
								onMouseEnter={() => props.onPoint?.(row)}
							>
								{props.columns.map((column) => (
									<td key={column.key} className={column.number ? 'number' : undefined}>
										{column.cell(row)}
									</td>
								))}
							</tr>
						);
					})}
					{view.to < rows.length && <Gap rows={rows.length - view.to} columns={props.columns.length} />}
				</tbody>
				{props.columns.some((column) => column.foot !== undefined) && (
					<tfoot>
						<tr>
							{props.columns.map((column) => (
								<td key={column.key} className={column.number ? 'number' : undefined}>
									{column.foot}
								</td>
							))}
						</tr>
					</tfoot>
				)}
			</table>
		</div>
	);
}

function Head<Row>(props: {
	readonly column: Column<Row>;
	readonly sorting: Sorting;
	readonly onSort: (sorting: Sorting) => void;
}) {
	const { column, sorting } = props;
	const active = sorting?.key === column.key ? sorting : null;
	const direction = active ? (active.down ? 'descending' : 'ascending') : undefined;
	return (
		<th
			scope="col"
			className={column.number ? 'number' : undefined}
			aria-sort={direction}
			style={column.width === undefined ? undefined : { width: column.width }}
		>
			{column.sort ? (
				<button type="button" onClick={() => props.onSort({ key: column.key, down: active ? !active.down : false })}>
					{column.head}
					{active && <span aria-hidden="true">{active.down ? ' ↓' : ' ↑'}</span>}
				</button>
			) : (
				column.head
			)}
		</th>
	);
}

/** Stands in for rows outside the view, so that the scroll bar tells the truth. */
function Gap({ rows, columns }: { readonly rows: number; readonly columns: number }) {
	return (
		<tr>
			<td colSpan={columns} style={{ height: rows * ROW_HEIGHT, padding: 0, border: 0 }} />
		</tr>
	);
}

function sorted<Row>(rows: readonly Row[], columns: readonly Column<Row>[], sorting: Sorting): readonly Row[] {
	const by = columns.find((column) => column.key === sorting?.key)?.sort;
	if (!by || !sorting) return rows;
	const direction = sorting.down ? -1 : 1;
	return [...rows].sort((a, b) => compare(by(a), by(b), direction));
}

const collator = new Intl.Collator(undefined, { numeric: true, sensitivity: 'base' });

/** Missing figures stand at the end, whichever way the column is sorted. */
function compare(a: string | number | null, b: string | number | null, direction: number): number {
	if (a === null || b === null) return a === b ? 0 : a === null ? 1 : -1;
	const order = typeof a === 'number' && typeof b === 'number' ? a - b : collator.compare(String(a), String(b));
	return order * direction;
}

function rowsInView(many: number, top: number, height: number): { from: number; to: number } {
	const first = Math.floor(top / ROW_HEIGHT);
	const inView = Math.ceil(height / ROW_HEIGHT);
	return { from: Math.max(0, first - MARGIN_ROWS), to: Math.min(many, first + inView + MARGIN_ROWS) };
}

function nextRow(key: string, at: number, many: number): number | undefined {
	const last = many - 1;
	const steps: Record<string, number> = {
		ArrowDown: at + 1,
		ArrowUp: at - 1,
		PageDown: at + 10,
		PageUp: at - 10,
		Home: 0,
		End: last,
	};
	const to = steps[key];
	return to === undefined || last < 0 ? undefined : Math.max(0, Math.min(last, to));
}

function focusRow(frame: HTMLElement | null, index: number): void {
	frame?.querySelector<HTMLElement>(`tr[data-row="${index}"]`)?.focus();
}

/** A button or link inside a row does its own work and does not open the row. */
function opensRow(target: EventTarget): boolean {
	return !(target instanceof Element && target.closest('a, button, input, label, select'));
}

function rowClass(walkable: boolean, muted: boolean): string | undefined {
	const names = [walkable ? 'open' : '', muted ? 'muted' : ''].filter((name) => name !== '');
	return names.length > 0 ? names.join(' ') : undefined;
}
