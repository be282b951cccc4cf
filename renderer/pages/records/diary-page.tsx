import { Button, Checkbox, TextInput } from '@mantine/core';
import { useSessionStorage } from '@mantine/hooks';
import { useMemo } from 'react';
import { Link } from 'wouter';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { useBook } from '../../api.ts';
import { count, longDate, productName } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { type Period, PeriodPick, SeasonBefore, usePeriod } from '../season/period.tsx';
import { Completeness } from './completeness.tsx';
import { Proof } from './proof.tsx';
import { RecordsNav } from './records-nav.tsx';
import { TreatmentEntry } from './treatment-entry.tsx';
import { entryIn, type Narrowing, narrowed, type Treatment, treatmentsOf } from './treatments.ts';

type View = Narrowing & {
	readonly everyLine: boolean;
	readonly reversed: boolean;
	/** Jobs whose lines are shown against what holds for the rest, or hidden. */
	readonly turned: readonly string[];
};

const PLAIN: View = {
	fieldId: null,
	productId: null,
	text: '',
	onlyLacking: false,
	everyLine: false,
	reversed: false,
	turned: [],
};

/** The spray diary of a period, newest first, beside what it still lacks and the proof that nobody altered it. */
export function DiaryPage() {
	const period = usePeriod();
	const [view, setView] = useSessionStorage<View>({
		key: `fillmark-diary-${useBook()}`,
		defaultValue: PLAIN,
		getInitialValueInEffect: false,
	});
	const { dates } = period;
	const records = useProcedure(
		['records', dates?.from, dates?.to, view.reversed],
		(api) => api.records.list({ ...dates, reversed: view.reversed }),
		{ enabled: dates !== null, keepPrevious: true },
	);
	const ground = useProcedure(
		['records', 'ground', view.fieldId],
		(api) => api.records.list({ fieldId: view.fieldId ?? '', ground: true, reversed: true }),
		{ enabled: view.fieldId !== null, keepPrevious: true },
	);
	const entry = entryIn(view.text);
	const printed = useProcedure(
		['records', 'entry', entry],
		(api) => api.records.list({ entry: entry ?? 0, reversed: true }),
		{ enabled: entry !== null },
	);
	const ofGround = useMemo(
		() => (view.fieldId === null ? null : new Set((ground.answer ?? []).map(({ id }) => id))),
		[ground.answer, view.fieldId],
	);
	const shown = useMemo(
		() => (entry === null ? records.answer && narrowed(records.answer, { ...view, ofGround }) : printed.answer),
		[records.answer, printed.answer, entry, view, ofGround],
	);
	return (
		<Page title="Records" columns="two">
			<section aria-label="Spray diary">
				<PageHead title="Records" under={<Summary lines={shown} period={period} />}>
					<Button component={Link} href="/season/reports" variant="default">
						Print or hand over
					</Button>
				</PageHead>
				<RecordsNav at="/records" />
				<Filters lines={records.answer ?? []} period={period} view={view} onChange={setView} />
				{dates === null ? (
					<p className="quiet">Choose two dates, the earlier one first.</p>
				) : (
					<Answered asked={records}>
						{(lines) =>
							lines.length === 0 && entry === null ? (
								<NoRecords period={period} />
							) : (
								<Diary lines={shown ?? []} view={view} onChange={setView} />
							)
						}
					</Answered>
				)}
			</section>
			<section aria-label="State of the records">
				<div className="diary-side">
					{records.answer && <Completeness lines={records.answer} words={period.words} />}
					<Proof />
				</div>
			</section>
		</Page>
	);
}

function Summary({ lines, period }: { readonly lines: readonly RecordLine[] | undefined; readonly period: Period }) {
	const { area } = useUnits();
	if (!lines || lines.length === 0) return null;
	const treatments = treatmentsOf(lines);
	const treatedHa = treatments.reduce((sum, each) => sum + each.treatedHa, 0);
	return `${count(treatments.length, 'treatment')}, ${count(lines.length, 'line')}, ${area(treatedHa)} treated ${period.during}`;
}

function Filters(props: {
	readonly lines: readonly RecordLine[];
	readonly period: Period;
	readonly view: View;
	readonly onChange: (view: View) => void;
}) {
	const { lines, view, onChange } = props;
	return (
		<search className="diary-filters screen-only">
			<div className="pair">
				<PeriodPick period={props.period} />
				{lines.length > 0 && (
					<>
						<Pick
							label="Field"
							options={named(
								lines.filter((line) => line.fieldId !== null),
								({ fieldId, field }) => [fieldId ?? '', field],
							)}
							value={view.fieldId}
							onChange={(fieldId) => onChange({ ...view, fieldId })}
							clearable
							placeholder="All fields"
						/>
						<Pick
							label="Product"
							options={named(lines, ({ productId, product, formulation }) => [
								productId,
								productName(product, formulation),
							])}
							value={view.productId}
							onChange={(productId) => onChange({ ...view, productId })}
							clearable
							placeholder="All products"
						/>
						<TextInput
							type="search"
							label="Find"
							placeholder="Crop, operator, entry 9"
							value={view.text}
							onChange={(event) => onChange({ ...view, text: event.currentTarget.value })}
						/>
					</>
				)}
			</div>
			<div className="row">
				<Checkbox
					label="Every line"
					checked={view.everyLine}
					onChange={(event) => onChange({ ...view, everyLine: event.currentTarget.checked })}
				/>
				<Checkbox
					label="Only what lacks something"
					checked={view.onlyLacking}
					onChange={(event) => onChange({ ...view, onlyLacking: event.currentTarget.checked })}
				/>
				<Checkbox
					label="Also what was taken back"
					checked={view.reversed}
					onChange={(event) => onChange({ ...view, reversed: event.currentTarget.checked })}
				/>
			</div>
		</search>
	);
}

function Diary(props: {
	readonly lines: readonly RecordLine[];
	readonly view: View;
	readonly onChange: (view: View) => void;
}) {
	const { lines, view, onChange } = props;
	const shown = useMemo(() => treatmentsOf(lines), [lines]);
	const openAll = view.everyLine || view.onlyLacking || isNarrow(view);
	if (shown.length === 0) {
		return (
			<Empty
				title="No line matches."
				next={
					<Button variant="default" onClick={() => onChange(PLAIN)}>
						Show the whole period
					</Button>
				}
			/>
		);
	}

	function turn(jobId: string): void {
		const others = view.turned.filter((each) => each !== jobId);
		onChange({ ...view, turned: view.turned.includes(jobId) ? others : [...others, jobId] });
	}

	return (
		<div className="diary">
			{byMonth(shown).map(([month, treatments]) => (
				<section key={month} aria-label={monthWords(month)}>
					<h2>{monthWords(month)}</h2>
					{treatments.map((treatment) => (
						<TreatmentEntry
							key={treatment.jobId}
							treatment={treatment}
							open={openAll !== view.turned.includes(treatment.jobId)}
							onTurn={() => turn(treatment.jobId)}
						/>
					))}
				</section>
			))}
		</div>
	);
}

function NoRecords({ period }: { readonly period: Period }) {
	return (
		<Empty
			title={`Nothing is recorded ${period.during}.`}
			next={
				<>
					<Button component={Link} href="/jobs">
						Go to the jobs
					</Button>
					<SeasonBefore period={period} />
				</>
			}
		>
			A record is written when a load is logged in its job: one line for each field and product, drawn from the store in
			the same stroke.
		</Empty>
	);
}

function isNarrow({ fieldId, productId, text }: Narrowing): boolean {
	return fieldId !== null || productId !== null || text.trim() !== '';
}

function named(lines: readonly RecordLine[], of: (line: RecordLine) => readonly [id: string, name: string]) {
	return [...new Map(lines.map(of))]
		.map(([value, label]) => ({ value, label }))
		.sort((a, b) => a.label.localeCompare(b.label));
}

function byMonth(treatments: readonly Treatment[]): [string, Treatment[]][] {
	return [...Map.groupBy(treatments, ({ lastDate }) => lastDate.slice(0, 7))];
}

/** `November 2026` */
function monthWords(month: string): string {
	return longDate(`${month}-01`).replace(/^\d+ /, '');
}
