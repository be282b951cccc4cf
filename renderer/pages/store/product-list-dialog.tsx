import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Api } from '../../api.ts';
import { count } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { FilePicker, type PickedFile } from '../../parts/file-picker.tsx';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import { useExport } from '../../use-export.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Report = Awaited<ReturnType<Api['products']['importList']>>;

const kinds = [{ name: 'Product list', extensions: ['csv', 'xlsx', 'txt'] }];

/** The product list as a table: out to a file, and in again, looked at before anything is changed. */
export function ProductListDialog({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }) {
	return (
		<Dialog title="Product list as a table" opened={opened} onClose={onClose} size="wide">
			<Steps onClose={onClose} />
		</Dialog>
	);
}

function Steps({ onClose }: { readonly onClose: () => void }) {
	const [file, setFile] = useState<PickedFile | null>(null);
	const preview = useProcedure(
		['product list preview', file?.path],
		(api) => api.products.importList({ path: file?.path ?? '', dryRun: true }),
		{ enabled: file !== null },
	);
	const bring = useCommand((api, path: string, key) => api.products.importList({ key, path }));
	if (bring.answer) {
		return (
			<div className="stack">
				<DoneNotice>{words(bring.answer, 'came in', 'were changed')}</DoneNotice>
				<Refused rows={bring.answer.refused} />
				<div className="form-foot">
					<Button onClick={onClose} data-autofocus>
						Done
					</Button>
				</div>
			</div>
		);
	}
	if (!file) return <Choose onPicked={setFile} />;
	const report = preview.answer;
	return (
		<div className="stack">
			<ProblemNotice problem={preview.problem ?? bring.problem} />
			{report ? (
				<>
					<p className="say">{words(report, 'to come in', 'to be changed')}</p>
					<Refused rows={report.refused} />
				</>
			) : (
				!preview.problem && <p className="quiet">Reading {file.name} …</p>
			)}
			<div className="form-foot">
				<Button variant="default" onClick={() => setFile(null)}>
					Another file
				</Button>
				<Button
					loading={bring.busy}
					disabled={!report || report.added.length + report.changed.length === 0}
					onClick={() => bring.run(file.path)}
				>
					Take them on the books
				</Button>
			</div>
		</div>
	);
}

function Choose({ onPicked }: { readonly onPicked: (file: PickedFile) => void }) {
	return (
		<div className="stack">
			<p>
				A product that is on the books by name and formulation is changed, the others are added. Blank cells change
				nothing.
			</p>
			<FilePicker label="Bring in a list" kinds={kinds} hint="CSV or XLSX, or drop it here" onPicked={onPicked} />
			<h2>Write it to a file</h2>
			<div className="row">
				<WriteList format="xlsx" template label="Template to fill in" />
				<WriteList format="xlsx" label="The list as XLSX" />
				<WriteList format="csv" label="The list as CSV" />
			</div>
		</div>
	);
}

function WriteList(props: { readonly format: 'csv' | 'xlsx'; readonly template?: boolean; readonly label: string }) {
	const list = useExport((api) => api.products.exportList({ format: props.format, template: props.template ?? false }));
	return (
		<>
			<Button variant="default" loading={list.busy} onClick={list.run}>
				{props.label}
			</Button>
			<ProblemNotice problem={list.problem} />
		</>
	);
}

function Refused({ rows }: { readonly rows: Report['refused'] }) {
	if (rows.length === 0) return null;
	return (
		<>
			<p>
				<span className="chip">{count(new Set(rows.map(({ row }) => row)).size, 'row')} cannot be read</span>
			</p>
			<Table
				caption="Rows that cannot be read"
				rows={rows}
				rowKey={(row) => `${row.row} ${row.column}`}
				height="280px"
				columns={[
					{ key: 'row', head: 'Row', number: true, width: '60px', cell: (row) => row.row },
					{ key: 'name', head: 'Product', cell: (row) => row.name || <span className="quiet">–</span> },
					{ key: 'column', head: 'Column', cell: (row) => row.column },
					{ key: 'reason', head: 'Why', cell: (row) => row.reason },
				]}
			/>
		</>
	);
}

function words({ added, changed, same }: Report, coming: string, changing: string): string {
	const parts = [`${count(added.length, 'product')} ${coming}`, `${changed.length} ${changing}`];
	if (same > 0) parts.push(`${same} as they are on the books`);
	return `${parts.join(', ')}.`;
}
