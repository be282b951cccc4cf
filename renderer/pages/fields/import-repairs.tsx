import { Button, Checkbox } from '@mantine/core';
import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { count, figure, hectares, signed } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { useUnits } from '../../units.ts';
import { exchanged, type FileAnswers, placeText } from './import-choices.ts';

type Repair = ImportReport['repairs'][number];
type Answering = {
	readonly report: ImportReport;
	readonly answers: FileAnswers;
	readonly onAnswers: (answers: FileAnswers) => void;
};

const SEVERAL = 3;

/** Repairs that are safe, each with what it changes; none is done unless it is chosen. */
export function Repairs(props: Answering & { readonly onPoint: (id: string | null) => void }) {
	const { report, answers, onAnswers, onPoint } = props;
	const { say } = useUnits();
	const { repairs } = report;
	if (repairs.length === 0) return null;
	// As pressed: the figures follow when the file has been read with them.
	const isChosen = ({ record, repair }: Repair) =>
		answers.repairs?.some((each) => each.record === record && each.repair === repair) ?? false;
	const chosen = repairs.filter(isChosen);
	const choose = (these: readonly Repair[]) =>
		onAnswers({ ...answers, repairs: these.map(({ record, repair }) => ({ record, repair })) });
	// Of a pair that shares ground one side is cut, and which is for a person to say.
	const several = repairs.filter((repair) => repair.repair !== 'cut away' || isChosen(repair));
	const hasOpen = several.some((repair) => !isChosen(repair));
	return (
		<fieldset className="import-repairs">
			<legend className="entry-label">Repairs that are safe: choose those to make</legend>
			{repairs.map((repair) => (
				<Checkbox
					key={`${repair.record} ${repair.repair}`}
					className="repair"
					checked={isChosen(repair)}
					label={
						<>
							<span>
								{repair.name} (record {figure(repair.record)}): {repair.did}
							</span>
							<span className="figure">{say(areasOf(repair))}</span>
						</>
					}
					onChange={({ currentTarget }) =>
						choose(currentTarget.checked ? [...chosen, repair] : chosen.filter((each) => each !== repair))
					}
					wrapperProps={{
						onMouseEnter: () => onPoint(repair.chosen ? `${repair.record}` : `${repair.record} ${repair.repair}`),
						onMouseLeave: () => onPoint(null),
					}}
				/>
			))}
			{hasOpen && repairs.length >= SEVERAL && (
				<Button variant="subtle" size="xs" onClick={() => choose(several)}>
					{several.length === repairs.length ? 'Choose them all' : 'Choose all, overlaps aside'}
				</Button>
			)}
		</fieldset>
	);
}

/** `40,006 m² → 40,000 m² (−6 m²)` */
export function areasOf({ beforeM2, afterM2 }: Repair): string {
	const after = `${figure(afterM2, 0)} m²`;
	if (beforeM2 === null) return `cannot be measured → ${after}`;
	const change = afterM2 - beforeM2;
	const digits = Math.abs(change) < 10 ? 1 : 0;
	const changed = Math.abs(change) < 0.05 ? 'no change' : `${signed(change, digits)} m²`;
	return `${figure(beforeM2, 0)} m² → ${after} (${changed})`;
}

/** The whole file with its coordinates in the other order, beside the file as it stands: where the fields lie and what they add up to. */
export function ExchangeOfAxes({ report, answers, onAnswers }: Answering) {
	const { say } = useUnits();
	const { exchange } = report;
	if (!exchange) return null;
	const { axes, why, asInFile, exchanged: turned } = exchange;
	const option = (value: 'stand' | 'turn', label: string, side: typeof asInFile) => ({
		value,
		label,
		detail: [
			side.lon === null || side.lat === null ? 'no place on earth' : `centre at ${placeText(side.lon, side.lat)}`,
			side.kmFromFarm === undefined ? '' : `${figure(side.kmFromFarm, 0)} km from your fields`,
			count(side.fields, 'field'),
		]
			.filter((part) => part !== '')
			.join(' · '),
		figure: say(`${hectares(side.totalHa)} ha`),
	});
	return (
		<div className="notice">
			<span className="word">Look</span>
			<div>
				<p>
					Are {axes} swapped in the file? {why.charAt(0).toUpperCase()}
					{why.slice(1)}.
				</p>
				<Choice
					legend="The coordinates of the whole file"
					options={[
						option('stand', 'As they stand in the file', asInFile),
						option('turn', `With ${axes} exchanged`, turned),
					]}
					value={exchange.chosen ? 'turn' : 'stand'}
					onChange={(value) => onAnswers(exchanged(answers, value === 'turn'))}
				/>
			</div>
		</div>
	);
}

/** Records with the name or code of a field far away: new, unless a person says they are that field. */
export function FarNamesakes({ report, answers, onAnswers }: Answering) {
	const { far } = report;
	if (far.length === 0) return null;
	const taken = answers.sameThoughFar ?? [];
	const take = (records: readonly number[]) => onAnswers({ ...answers, sameThoughFar: [...records] });
	return (
		<fieldset className="import-repairs">
			<legend className="entry-label">
				The same {far.every(({ by }) => by === 'code') ? 'code' : 'name'}, far away
			</legend>
			{far.map(({ record, name, by, field, km }) => (
				<Checkbox
					key={record}
					checked={taken.includes(record)}
					label={`${name} (record ${figure(record)}) lies ${figure(km, 0)} km from ${field}, which has the same ${by}. It comes in as a new field; choose this if it is that field`}
					onChange={({ currentTarget }) =>
						take(currentTarget.checked ? [...taken, record] : taken.filter((each) => each !== record))
					}
				/>
			))}
		</fieldset>
	);
}

export function RefusedRecords({ report }: { readonly report: ImportReport }) {
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

/** Trouble without a safe repair: said with its reason, so that nobody waits for one. */
export function LeftAsTheyAre({ report }: { readonly report: ImportReport }) {
	if (report.left.length === 0) return null;
	return (
		<details className="quiet">
			<summary>No safe repair for {count(report.left.length, 'finding')}: why</summary>
			<ul>
				{report.left.map(({ record, name, why }) => (
					<li key={`${record} ${why}`}>
						{name} (record {figure(record)}): {why}
					</li>
				))}
			</ul>
		</details>
	);
}
