import { Button } from '@mantine/core';
import { useMemo, useState } from 'react';
import type { ImportReport } from '../../../shared/contract/fields.ts';
import { count, figure, hectares, signed } from '../../format.ts';
import { asGeometry } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import type { MapField } from '../../map/map-field.ts';
import { MapLegend } from '../../map/map-legend.tsx';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { FilePicker, type PickedFile } from '../../parts/file-picker.tsx';
import { Facts } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice, ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import type { ShownProblem } from '../../problem.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { areaUnits } from './field-words.ts';
import { type FileAnswers, type FileQuestion, questionOf } from './import-choices.ts';

const kinds = [
	{
		name: 'Field boundaries',
		extensions: ['zip', 'shp', 'dbf', 'shx', 'prj', 'cpg', 'geojson', 'json', 'gpkg', 'kml', 'xml'],
	},
];

type ImportedField = ImportReport['added'][number];

/** Brings in boundaries in three steps: choose the file, look at what it holds, take it into the register. */
export function ImportDialog({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }) {
	return (
		<Dialog title="Bring in boundaries" opened={opened} onClose={onClose} size="widest">
			<ImportSteps onClose={onClose} />
		</Dialog>
	);
}

function ImportSteps({ onClose }: { readonly onClose: () => void }) {
	const [file, setFile] = useState<PickedFile | null>(null);
	const [answers, setAnswers] = useState<FileAnswers>({});
	const preview = useProcedure(
		['import preview', file?.path, answers],
		(api) => api.fields.import({ path: file?.path ?? '', ...answers, dryRun: true }),
		{ enabled: file !== null, keepPrevious: true },
	);
	const bring = useCommand((api, path: string, key) => api.fields.import({ key, path, ...answers }));

	function choose(picked: PickedFile | null): void {
		setFile(picked);
		setAnswers({});
		bring.reset();
	}

	if (bring.answer) return <Brought report={bring.answer} onAgain={() => choose(null)} onClose={onClose} />;
	if (!file) return <ChooseFile onPicked={choose} />;
	const say = (asks: keyof FileAnswers, value: string | null) => setAnswers(answered(answers, asks, value));
	return (
		<div className="stack">
			<div className="row spread">
				<p>
					<b>{file.name}</b>
				</p>
				<Button variant="subtle" size="xs" onClick={() => choose(null)}>
					Choose another file
				</Button>
			</div>
			{preview.problem && <Refused problem={preview.problem} answers={answers} onSay={say} />}
			{!preview.problem && preview.answer && (
				<Preview report={preview.answer} answers={answers} onSay={say} waiting={preview.waiting} />
			)}
			{!preview.problem && !preview.answer && (
				<p className="quiet" aria-busy="true">
					Reading and measuring …
				</p>
			)}
			<ProblemNotice problem={bring.problem} />
			{!preview.problem && preview.answer && (
				<div className="form-foot">
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button
						loading={bring.busy}
						disabled={taken(preview.answer) === 0 || preview.waiting}
						onClick={() => bring.run(file.path)}
					>
						{taken(preview.answer) === 0 ? 'Nothing to bring in' : `Bring in ${count(taken(preview.answer), 'field')}`}
					</Button>
				</div>
			)}
		</div>
	);
}

function ChooseFile({ onPicked }: { readonly onPicked: (file: PickedFile) => void }) {
	return (
		<div className="stack">
			<p>
				A zipped shapefile, its loose parts together (.shp, .dbf, .shx, .prj), GeoJSON, GeoPackage, KML, or an ISO 11783
				task file. The file itself is not changed.
			</p>
			<FilePicker
				label="Choose the boundary file"
				kinds={kinds}
				hint="or drop it here; several parts together are fine"
				onPicked={onPicked}
			/>
		</div>
	);
}

/** A refusal that can be answered asks its question at once; any other says what to do with the file. */
function Refused(props: {
	readonly problem: ShownProblem;
	readonly answers: FileAnswers;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const question = questionOf(props.problem);
	if (!question) return <ProblemNotice problem={props.problem} />;
	return (
		<div className="stack">
			<p className="say" role="alert">
				{props.problem.sentence}
			</p>
			<Question question={question} value={props.answers[question.asks] ?? null} onSay={props.onSay} />
		</div>
	);
}

const FEW = 8;

function Question(props: {
	readonly question: FileQuestion;
	readonly value: string | null;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const { question } = props;
	const unitsAsked = question.asks === 'mappedAreaUnit' && question.options.length === 0;
	const options: FileQuestion['options'] = unitsAsked ? areaUnits : question.options;
	const say = (value: string | null) => props.onSay(question.asks, value);
	if (options.length > FEW)
		return <Pick label={question.label} options={options} value={props.value} onChange={say} autoFocus />;
	return <Choice legend={question.label} options={options} value={props.value} onChange={say} />;
}

function Preview(props: {
	readonly report: ImportReport;
	readonly answers: FileAnswers;
	readonly waiting: boolean;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const { report } = props;
	const [pointed, setPointed] = useState<string | null>(null);
	const fields = useMemo(() => shapesOf(report), [report]);
	return (
		<div className="import-preview" aria-busy={props.waiting}>
			<div className="stack">
				<p className="say">{summary(report)}</p>
				<Columns report={report} onSay={props.onSay} />
				<WarningList warnings={report.warnings} />
				<RefusedRecords report={report} />
				<FieldsOfFile report={report} pointed={pointed} onPoint={setPointed} />
			</div>
			<div className="stack">
				<FieldMap
					label="Map of the fields in the file"
					height={380}
					fields={fields}
					pointed={pointed}
					onPoint={setPointed}
				/>
				<MapLegend
					entries={[
						...(report.added.length > 0 ? [{ shade: 'new' as const, text: 'new in the register' }] : []),
						...(report.updated.length > 0 ? [{ shade: 'changed' as const, text: 'known: measured again' }] : []),
					]}
				/>
				<Facts
					items={[
						['Layer', report.file.layer],
						['Reference system', report.file.crs],
						report.file.encoding !== null && ['Letters', report.file.encoding],
						['Together', `${hectares(report.file.totalHa)} ha`],
						report.file.gridScalePpm !== null && [
							'Map grid',
							`${signed(report.file.gridScalePpm / 10_000, 3)} % against the ground`,
						],
					]}
				/>
			</div>
		</div>
	);
}

/** Which column of the file is what; the best guess is chosen already. */
function Columns({
	report,
	onSay,
}: {
	readonly report: ImportReport;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const { file } = report;
	const options = file.attributes.map((attribute) => ({
		value: attribute.name,
		label:
			attribute.samples.length > 0 ? `${attribute.name} · ${attribute.samples.slice(0, 3).join(', ')}` : attribute.name,
	}));
	if (options.length === 0) return null;
	return (
		<div className="pair">
			<Pick
				label="Names from"
				options={options}
				value={file.nameAttribute}
				onChange={(value) => onSay('nameAttribute', value)}
				placeholder="No column"
			/>
			<Pick
				label="Codes from"
				options={options}
				value={file.codeAttribute}
				onChange={(value) => onSay('codeAttribute', value)}
				placeholder="No column"
			/>
			<Pick
				label="Mapped area from"
				options={options}
				value={file.mappedAreaAttribute}
				onChange={(value) => onSay('mappedAreaAttribute', value)}
				placeholder="No column"
			/>
			{file.mappedAreaAttribute !== null && (
				<Pick
					label="in"
					options={areaUnits}
					value={file.mappedAreaUnit}
					onChange={(value) => onSay('mappedAreaUnit', value)}
				/>
			)}
		</div>
	);
}

function FieldsOfFile(props: {
	readonly report: ImportReport;
	readonly pointed: string | null;
	readonly onPoint: (id: string | null) => void;
}) {
	const rows = [
		...props.report.added.map((field) => ({ field, known: false })),
		...props.report.updated.map((field) => ({ field, known: true })),
	];
	if (rows.length === 0) return null;
	return (
		<Table
			caption="Fields in the file"
			rows={rows}
			rowKey={({ field }) => shapeId(field)}
			selected={props.pointed}
			onPoint={(row) => props.onPoint(row ? shapeId(row.field) : null)}
			height="340px"
			columns={[
				{ key: 'name', head: 'Field', sort: ({ field }) => field.name, cell: ({ field }) => field.name },
				{ key: 'code', head: 'Code', sort: ({ field }) => field.code, cell: ({ field }) => field.code ?? '–' },
				{
					key: 'mapped',
					head: 'mapped ha',
					number: true,
					sort: ({ field }) => field.mappedHa,
					cell: ({ field }) => hectares(field.mappedHa),
				},
				{
					key: 'measured',
					head: 'measured ha',
					number: true,
					sort: ({ field }) => field.measuredHa,
					cell: ({ field }) => hectares(field.measuredHa),
				},
				{
					key: 'state',
					head: 'In the register',
					sort: ({ known }) => (known ? 1 : 0),
					cell: ({ field, known }) =>
						known ? <span className="chip plain">{knownBy(field)}</span> : <span className="quiet">new</span>,
				},
			]}
		/>
	);
}

function RefusedRecords({ report }: { readonly report: ImportReport }) {
	if (report.refused.length === 0) return null;
	return (
		<div className="notice stop" role="status">
			<span className="word">Left out</span>
			<ul>
				{report.refused.map((each) => (
					<li key={each.record}>
						Record {figure(each.record)}
						{each.name ? ` (${each.name})` : ''}: {each.reason}
					</li>
				))}
			</ul>
		</div>
	);
}

function Brought({
	report,
	onAgain,
	onClose,
}: {
	readonly report: ImportReport;
	readonly onAgain: () => void;
	readonly onClose: () => void;
}) {
	return (
		<div className="stack">
			<DoneNotice>{doneWords(report)}</DoneNotice>
			<WarningList warnings={report.warnings} />
			<RefusedRecords report={report} />
			<div className="form-foot">
				<Button variant="default" onClick={onAgain}>
					Bring in another file
				</Button>
				<Button onClick={onClose} data-autofocus>
					Go to the register
				</Button>
			</div>
		</div>
	);
}

/** An answer replaces the last; a new layer or file column takes what hangs on it along. */
function answered(answers: FileAnswers, asks: keyof FileAnswers, value: string | null): FileAnswers {
	const { [asks]: _, ...rest } = answers;
	if (asks === 'layer') return value === null ? {} : { layer: value, ...(answers.crs ? { crs: answers.crs } : {}) };
	const kept = asks === 'mappedAreaAttribute' ? without(rest, 'mappedAreaUnit') : rest;
	return value === null ? kept : { ...kept, [asks]: value };
}

function without(answers: FileAnswers, key: keyof FileAnswers): FileAnswers {
	const { [key]: _, ...rest } = answers;
	return rest;
}

function taken(report: ImportReport): number {
	return report.added.length + report.updated.length;
}

function summary(report: ImportReport): string {
	const parts = [
		report.added.length > 0 ? `${count(report.added.length, 'new field')}` : '',
		report.updated.length > 0 ? `${count(report.updated.length, 'field')} known already` : '',
		report.refused.length > 0 ? `${count(report.refused.length, 'record')} that cannot be measured` : '',
	].filter((part) => part !== '');
	return parts.length === 0 ? 'The file holds no fields.' : `${parts.join(', ')}.`;
}

function doneWords(report: ImportReport): string {
	const added = report.added.length > 0 ? `${count(report.added.length, 'field')} added` : '';
	const updated = report.updated.length > 0 ? `${count(report.updated.length, 'field')} measured again` : '';
	const both = [added, updated].filter((part) => part !== '').join(', ');
	return `${both} from ${report.file.name}: ${hectares(report.file.totalHa)} ha.`;
}

function knownBy(field: ImportedField): string {
	const by = field.matchedBy ? `known by ${field.matchedBy}` : 'known';
	return field.measuredBeforeHa === undefined ? by : `${by}, was ${hectares(field.measuredBeforeHa)}`;
}

function shapeId(field: ImportedField): string {
	return `${field.record}`;
}

function shapesOf(report: ImportReport): MapField[] {
	const shape = (shade: MapField['shade']) => (field: ImportedField) =>
		field.geometry
			? [
					{
						id: shapeId(field),
						name: field.name,
						says: `${hectares(field.measuredHa)} ha`,
						shade,
						geometry: asGeometry(field.geometry),
					} as MapField,
				]
			: [];
	return [...report.added.flatMap(shape('new')), ...report.updated.flatMap(shape('changed'))];
}
