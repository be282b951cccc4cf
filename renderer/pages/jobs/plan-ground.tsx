import { Button } from '@mantine/core';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import { addedUpApart, count } from '../../format.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { AddPick } from './add-pick.tsx';
import { LineActs } from './line-acts.tsx';
import { type FieldLine, moved, plannedArea, shownArea } from './plan-draft.ts';

type Props = {
	readonly heading: string;
	readonly rows: readonly FieldRow[];
	readonly lines: readonly FieldLine[];
	readonly onChange: (by: (lines: readonly FieldLine[]) => readonly FieldLine[]) => void;
};

/** The fields of a job in the order they are sprayed, each with its two areas and the one it is loaded for. */
export function PlanGround({ heading, rows, lines, onChange }: Props) {
	const farmUnits = useUnits();
	const byId = new Map(rows.map((row) => [row.id, row]));
	const taken = new Set(lines.map(({ fieldId }) => fieldId));
	const planned = lines.map((line) => plannedArea(line, byId.get(line.fieldId)));
	const free = rows.filter(({ id }) => !taken.has(id));
	const add = (ids: readonly string[]) =>
		onChange((now) => [...now, ...ids.map((fieldId) => ({ fieldId, areaHa: 'register' as const }))]);
	const setArea = (fieldId: string, areaHa: FieldLine['areaHa']) =>
		onChange((now) => now.map((line) => (line.fieldId === fieldId ? { ...line, areaHa } : line)));
	return (
		<>
			<h2>{heading}</h2>
			{lines.length > 0 && (
				<table className="table plan-lines" aria-label="Ground to load for">
					<thead>
						<tr>
							<th scope="col">Field</th>
							<th scope="col" className="number">
								mapped
							</th>
							<th scope="col" className="number">
								measured
							</th>
							<th scope="col" className="number">
								to load for
							</th>
							<th scope="col">
								<span className="visually-hidden">Order</span>
							</th>
						</tr>
					</thead>
					<tbody>
						{lines.map((line, index) => (
							<Line
								key={line.fieldId}
								line={line}
								row={byId.get(line.fieldId)}
								first={index === 0}
								last={index === lines.length - 1}
								onArea={(areaHa) => setArea(line.fieldId, areaHa)}
								onMove={(by) => onChange((now) => moved(now, index, by))}
								onRemove={() => onChange((now) => now.filter(({ fieldId }) => fieldId !== line.fieldId))}
							/>
						))}
					</tbody>
					<tfoot>
						<tr>
							<td>
								{count(lines.length, 'field')}
								{addedUpApart(planned) && <span className="second">added up before rounding</span>}
							</td>
							<td className="number">{farmUnits.hectares(total(lines, byId, (row) => row.mappedHa))}</td>
							<td className="number">{farmUnits.hectares(total(lines, byId, (row) => row.measuredHa) || null)}</td>
							<td className="number">
								{farmUnits.area(planned.reduce<number>((sum, areaHa) => sum + (areaHa ?? 0), 0))}
							</td>
							<td />
						</tr>
					</tfoot>
				</table>
			)}
			{free.length > 0 && (
				<AddPick
					label={lines.length > 0 ? 'Another field' : 'Field'}
					options={free.map((row) => ({ value: row.id, label: fieldWords(row, farmUnits) }))}
					onAdd={(id) => add([id])}
					nothingFound="No such field in the register"
					goesOn
				/>
			)}
			<CropButtons rows={free} onAdd={add} />
		</>
	);
}

type LineProps = {
	readonly line: FieldLine;
	readonly row: FieldRow | undefined;
	readonly first: boolean;
	readonly last: boolean;
	readonly onArea: (areaHa: FieldLine['areaHa']) => void;
	readonly onMove: (by: -1 | 1) => void;
	readonly onRemove: () => void;
};

function Line({ line, row, first, last, onArea, onMove, onRemove }: LineProps) {
	const farmUnits = useUnits();
	const name = row?.name ?? 'Field';
	const fromRegister = shownArea({ ...line, areaHa: 'register' }, row);
	const shown = shownArea(line, row);
	const most = Math.max(row?.mappedHa ?? 0, row?.measuredHa ?? 0, row?.loadForHa ?? 0);
	return (
		<tr>
			<td>
				{name}
				{row?.crop && <span className="second">{row.crop}</span>}
			</td>
			<td className="number quiet">{farmUnits.hectares(row?.mappedHa)}</td>
			<td className="number">
				{row?.withinTolerance === false ? (
					<span className="chip" title="The two areas are further apart than measuring explains">
						{farmUnits.hectares(row.measuredHa)}
					</span>
				) : (
					farmUnits.hectares(row?.measuredHa)
				)}
			</td>
			<td className="area">
				<QuantityInput
					label={`Area to load for, ${name}`}
					unit="ha"
					min={0.0001}
					value={shown}
					onChange={(areaHa) => onArea(areaHa !== null && areaHa === fromRegister ? 'register' : areaHa)}
				/>
				{shown !== null && most > 0 && shown > most * 1.02 && (
					<span className="second">more than the field’s {farmUnits.hectares(most)}</span>
				)}
				{shown !== null && fromRegister !== null && shown < fromRegister && (
					<span className="second">part of {farmUnits.hectares(fromRegister)}</span>
				)}
			</td>
			<LineActs name={name} first={first} last={last} onMove={onMove} onRemove={onRemove} />
		</tr>
	);
}

const CROPS_AS_BUTTONS = 6;

/** All fields of one crop at once: most jobs are that. */
function CropButtons({ rows, onAdd }: { readonly rows: readonly FieldRow[]; readonly onAdd: (ids: string[]) => void }) {
	const farmUnits = useUnits();
	const crops = [...Map.groupBy(rows, ({ crop }) => crop ?? '')]
		.filter(([crop]) => crop !== '')
		.map(([crop, all]) => ({
			crop,
			ids: all.map(({ id }) => id),
			words: `${crop}: ${count(all.length, 'field')}, ${farmUnits.area(all.reduce((sum, row) => sum + (row.loadForHa ?? 0), 0))}`,
		}))
		.sort((a, b) => b.ids.length - a.ids.length);
	if (crops.length === 0) return null;
	if (crops.length > CROPS_AS_BUTTONS) {
		return (
			<AddPick
				label="All fields of a crop"
				options={crops.map(({ crop, words }) => ({ value: crop, label: words }))}
				onAdd={(crop) => onAdd(crops.find((each) => each.crop === crop)?.ids ?? [])}
				nothingFound="No field with that crop is left"
			/>
		);
	}
	return (
		<fieldset className="group row crop-buttons">
			<legend className="visually-hidden">All fields of a crop</legend>
			<span className="quiet">All of</span>
			{crops.map(({ crop, ids, words }) => (
				<Button key={crop} size="compact-sm" variant="default" aria-label={`All ${words}`} onClick={() => onAdd(ids)}>
					{crop} · {ids.length}
				</Button>
			))}
		</fieldset>
	);
}

function total(
	lines: readonly FieldLine[],
	byId: ReadonlyMap<string, FieldRow>,
	of: (row: FieldRow) => number | null,
): number {
	return lines.reduce((sum, { fieldId }) => {
		const row = byId.get(fieldId);
		return sum + ((row && of(row)) ?? 0);
	}, 0);
}

function fieldWords({ name, crop, loadForHa }: FieldRow, farmUnits: Units): string {
	const area = loadForHa === null ? 'no area yet' : `${farmUnits.area(loadForHa)}`;
	return [name, crop, area].filter((part) => part !== undefined).join(' · ');
}
