import { Button, SegmentedControl } from '@mantine/core';
import { Link } from 'wouter';
import type { ClosedSpace } from '../../../shared/contract/spaces.ts';
import type { SpaceUnit } from '../../../shared/core/loads/closed-space.ts';
import { count, figure } from '../../format.ts';
import { quantityWords } from '../../held-words.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { AddPick } from './add-pick.tsx';
import { CropAndCode } from './crop-and-code.tsx';
import { dosedBy, type IndoorsDraft, onTheBooks, type SpaceLine, withSpaces } from './indoors-draft.ts';
import { LineActs } from './line-acts.tsx';
import { moved } from './plan-draft.ts';

type Props = { readonly indoors: IndoorsDraft; readonly onChange: (part: Partial<IndoorsDraft>) => void };

const units: readonly { readonly value: SpaceUnit; readonly label: string }[] = [
	{ value: 'm³', label: 'air, m³' },
	{ value: 'm²', label: 'surface, m²' },
	{ value: 't', label: 'stored crop, t' },
];

/** The closed spaces of a job in the order they are treated: what of each, and what is stored in it. */
export function PlanSpaces({ indoors, onChange }: Props) {
	const asked = useProcedure(['spaces'], (api) => api.spaces.list({}));
	if (asked.answer?.length === 0) {
		return (
			<>
				<h2>Closed spaces</h2>
				<p className="notice" role="status">
					<span className="word">First</span>
					<span>
						No closed space is on the books. <Link href="/spaces">Put the store on the books</Link> with its volume or
						floor area.
					</span>
				</p>
			</>
		);
	}
	return (
		<>
			<h2>Closed spaces, in the order they are treated</h2>
			<ProblemNotice problem={asked.problem} />
			<div className="pair">
				<div>
					<div className="entry-label" id="space-unit">
						The dose is for
					</div>
					<SegmentedControl<SpaceUnit>
						aria-labelledby="space-unit"
						data={[...units]}
						value={indoors.unit}
						onChange={(unit) => onChange(dosedBy(indoors, unit))}
					/>
				</div>
				<QuantityInput
					label="Mix in all"
					unit="L"
					min={0.001}
					description="Product and water; empty: no water"
					value={indoors.mixL}
					onChange={(mixL) => onChange({ mixL })}
				/>
			</div>
			<SpaceLines spaces={asked.answer ?? []} indoors={indoors} onChange={onChange} />
		</>
	);
}

function SpaceLines({ spaces, indoors, onChange }: Props & { readonly spaces: readonly ClosedSpace[] }) {
	const { unit, spaces: lines } = indoors;
	const byId = new Map(spaces.map((space) => [space.id, space]));
	const free = spaces.filter(({ id }) => !lines.some(({ spaceId }) => spaceId === id));
	const add = (ids: readonly string[]) => onChange({ spaces: withSpaces(indoors, ids) });
	const change = (spaceId: string, part: Partial<SpaceLine>) =>
		onChange({ spaces: lines.map((line) => (line.spaceId === spaceId ? { ...line, ...part } : line)) });
	const total = lines.reduce((sum, line) => sum + (line.amount ?? onTheBooks(byId.get(line.spaceId), unit) ?? 0), 0);
	return (
		<>
			{lines.length > 0 && (
				<table className="table plan-lines plan-spaces above" aria-label="Closed spaces to treat">
					<thead>
						<tr>
							<th scope="col">Closed space</th>
							<th scope="col">it is</th>
							<th scope="col" className="number">
								to treat
							</th>
							<th scope="col">
								<span className="visually-hidden">Order</span>
							</th>
						</tr>
					</thead>
					{lines.map((line, index) => (
						<Line
							key={line.spaceId}
							line={line}
							space={byId.get(line.spaceId)}
							unit={unit}
							first={index === 0}
							last={index === lines.length - 1}
							onChange={(part) => change(line.spaceId, part)}
							onMove={(by) => onChange({ spaces: moved(lines, index, by) })}
							onRemove={() => onChange({ spaces: lines.filter(({ spaceId }) => spaceId !== line.spaceId) })}
						/>
					))}
					{lines.length > 1 && (
						<tfoot>
							<tr>
								<td colSpan={2}>{count(lines.length, 'closed space')}</td>
								<td className="number">{quantityWords(total, unit)}</td>
								<td />
							</tr>
						</tfoot>
					)}
				</table>
			)}
			{free.length > 0 && (
				<AddPick
					label={lines.length > 0 ? 'Another closed space' : 'Closed space'}
					options={free.map((space) => ({ value: space.id, label: `${space.name} · ${sizeWords(space)}` }))}
					onAdd={(id) => add([id])}
					nothingFound="No such closed space on the books"
					goesOn
				/>
			)}
			<KindButtons spaces={free} onAdd={add} />
		</>
	);
}

type LineProps = {
	readonly line: SpaceLine;
	readonly space: ClosedSpace | undefined;
	readonly unit: SpaceUnit;
	readonly first: boolean;
	readonly last: boolean;
	readonly onChange: (part: Partial<SpaceLine>) => void;
	readonly onMove: (by: -1 | 1) => void;
	readonly onRemove: () => void;
};

function Line({ line, space, unit, first, last, onChange, onMove, onRemove }: LineProps) {
	const name = space?.name ?? 'Closed space';
	const all = onTheBooks(space, unit);
	return (
		<tbody>
			<tr className={line.inUse ? 'led' : ''}>
				<td>
					{name}
					{space && <span className="second">{[space.kind, sizeWords(space)].join(', ')}</span>}
				</td>
				<td>
					<SegmentedControl
						aria-label={`What ${name} is`}
						size="xs"
						data={[
							{ value: 'empty', label: 'empty' },
							{ value: 'in use', label: 'in use' },
						]}
						value={line.inUse ? 'in use' : 'empty'}
						onChange={(value) => onChange({ inUse: value === 'in use' })}
					/>
				</td>
				<td className="area">
					<QuantityInput
						label={`To treat, ${name}`}
						unit={unit}
						required={all === undefined}
						min={0.001}
						placeholder={all === undefined ? '' : String(all)}
						value={line.amount}
						onChange={(amount) => onChange({ amount })}
					/>
				</td>
				<LineActs name={name} first={first} last={last} onMove={onMove} onRemove={onRemove} />
			</tr>
			{line.inUse && (
				<tr className="beneath">
					<td colSpan={4}>
						<div className="pair">
							<CropAndCode of={line} label={`Crop in ${name}`} onChange={onChange} />
						</div>
					</td>
				</tr>
			)}
		</tbody>
	);
}

/** All closed spaces of one kind at once. */
function KindButtons(props: { readonly spaces: readonly ClosedSpace[]; readonly onAdd: (ids: string[]) => void }) {
	const kinds = [...Map.groupBy(props.spaces, ({ kind }) => kind)].filter(([, all]) => all.length > 1);
	if (kinds.length === 0) return null;
	return (
		<fieldset className="group row crop-buttons">
			<legend className="visually-hidden">All closed spaces of a kind</legend>
			<span className="quiet">All of</span>
			{kinds.map(([kind, all]) => (
				<Button
					key={kind}
					size="compact-sm"
					variant="default"
					aria-label={`All of kind ${kind}: ${all.length}`}
					onClick={() => props.onAdd(all.map(({ id }) => id))}
				>
					{kind} · {all.length}
				</Button>
			))}
		</fieldset>
	);
}

/** `12,000 m³, floor 1,500 m²` */
function sizeWords({ volumeM3, floorM2 }: ClosedSpace): string {
	const parts = [
		volumeM3 === undefined ? null : `${figure(volumeM3)} m³`,
		floorM2 === undefined ? null : `floor ${figure(floorM2)} m²`,
	].filter((part) => part !== null);
	return parts.length > 0 ? parts.join(', ') : 'no size on the books';
}
