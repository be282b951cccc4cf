import { Button } from '@mantine/core';
import { useState } from 'react';
import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { count } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { FilePicker, type PickedFile } from '../../parts/file-picker.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice, ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import type { ShownProblem } from '../../problem.ts';
import { type Units, useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ASK, answered, type FileAnswers, type FileQuestion, questionOf, without } from './import-choices.ts';
import { ImportPreview } from './import-preview.tsx';
import { RefusedRecords } from './import-repairs.tsx';

const kinds = [
	{
		name: 'Field boundaries',
		extensions: ['zip', 'shp', 'dbf', 'shx', 'prj', 'cpg', 'geojson', 'json', 'gpkg', 'kml', 'kmz', 'xml'],
	},
];

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
				<div className="row">
					{answers.layer && !preview.problem && (
						<Button variant="subtle" size="xs" onClick={() => say('layer', null)}>
							Choose another layer
						</Button>
					)}
					{preview.answer && !preview.problem && (
						<Button variant="subtle" size="xs" onClick={() => say('crs', ASK)}>
							The coordinates are in another system
						</Button>
					)}
					<Button variant="subtle" size="xs" onClick={() => choose(null)}>
						Choose another file
					</Button>
				</div>
			</div>
			{preview.problem && <Refused problem={preview.problem} answers={answers} onSay={say} />}
			{preview.problem?.code === 'file.repairNotOffered' && (
				<Button variant="default" onClick={() => setAnswers(without(answers, 'repairs'))}>
					Choose the repairs anew
				</Button>
			)}
			{!preview.problem && preview.answer && (
				<ImportPreview
					report={preview.answer}
					answers={answers}
					onSay={say}
					onAnswers={setAnswers}
					waiting={preview.waiting}
				/>
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
				A zipped shapefile, its loose parts together (.shp, .dbf, .shx, .prj, .cpg), GeoJSON, GeoPackage, KML or KMZ, or
				ISO 11783 task data. The file itself is not changed.
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
	if (!question) {
		return (
			<ProblemNotice problem={props.problem}>
				{props.problem.code === 'file.crsUnsupported' && (
					<p>
						<Button variant="default" size="xs" onClick={() => props.onSay('crs', ASK)}>
							Choose the reference system
						</Button>
					</p>
				)}
			</ProblemNotice>
		);
	}
	return (
		<div className="stack">
			<p className="say" role="alert">
				{props.problem.sentence}
			</p>
			<Question question={question} value={saidOf(props.answers, question.asks)} onSay={props.onSay} />
			{question.asks === 'mappedAreaUnit' && (
				<div className="form-foot">
					<Button variant="default" onClick={() => props.onSay('mappedAreaAttribute', null)}>
						It is not the mapped area
					</Button>
				</div>
			)}
			{props.problem.code === 'file.crsAsked' && (
				<div className="form-foot">
					<Button variant="default" onClick={() => props.onSay('crs', null)}>
						Keep what the file says
					</Button>
				</div>
			)}
		</div>
	);
}

/** A long list shows one line each: what the file would come to stands right behind the name. */
function inOneLine({ value, label, figure, detail }: FileQuestion['options'][number], { say }: Units) {
	const told = figure === undefined ? undefined : say(figure);
	return { value, label: [label, told, detail].filter((part) => part !== undefined).join(' · ') };
}

function saidOf(answers: FileAnswers, asks: keyof FileAnswers): string | null {
	const said = answers[asks];
	return typeof said === 'string' ? said : null;
}

const FEW = 8;

function Question(props: {
	readonly question: FileQuestion;
	readonly value: string | null;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const units = useUnits();
	const { question } = props;
	const [all, setAll] = useState(false);
	const known = question.options;
	const near = known.filter(({ far }) => !far);
	const options = all || near.length === 0 ? known : near;
	const say = (value: string | null) => props.onSay(question.asks, value);
	return (
		<div className="stack tight">
			{options.length > FEW ? (
				<Pick
					label={question.label}
					options={options.map((option) => inOneLine(option, units))}
					value={props.value}
					onChange={say}
					autoFocus
				/>
			) : (
				<Choice
					legend={question.label}
					options={options.map((option) => ({
						...option,
						...(option.figure === undefined ? {} : { figure: units.say(option.figure) }),
					}))}
					value={props.value}
					onChange={say}
				/>
			)}
			{question.measuredHa !== undefined && (
				<p className="quiet">The same fields were measured as {units.area(question.measuredHa)}.</p>
			)}
			{question.farmNowhere && options.length > FEW && (
				<p className="quiet">
					Nothing says where the farm lies: it has no fields yet, and its time zone is of no country. With the zone set
					under Settings, the systems of its country come first.
				</p>
			)}
			{options.length < known.length && (
				<p className="quiet">
					These put the fields {question.narrowed}.{' '}
					<Button variant="subtle" size="xs" onClick={() => setAll(true)}>
						{`Show ${known.length - options.length} more that put them elsewhere`}
					</Button>
				</p>
			)}
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
	const units = useUnits();
	return (
		<div className="stack">
			<DoneNotice>{doneWords(report, units)}</DoneNotice>
			{/* A point that stands twice changes nothing, and there is nothing left to do about it. */}
			<WarningList warnings={report.warnings.filter(({ code }) => code !== 'boundary.repeated point')} />
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

function taken(report: ImportReport): number {
	return report.added.length + report.updated.length;
}

function doneWords({ added, updated, file }: ImportReport, { area }: Units): string {
	const same = updated.filter(({ sameBoundary }) => sameBoundary).length;
	const again = updated.length - same;
	const parts = [
		added.length > 0 ? `${count(added.length, 'field')} added` : '',
		again > 0 ? `${count(again, 'field')} measured again` : '',
		same > 0 ? `${count(same, 'field')} known with the same boundary` : '',
	].filter((part) => part !== '');
	return `${parts.join(', ')} from ${file.name}: ${area(file.totalHa)}.`;
}
