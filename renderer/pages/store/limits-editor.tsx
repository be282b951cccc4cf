import { Autocomplete, Button, Checkbox, TextInput } from '@mantine/core';
import { type RefObject, useEffect, useState } from 'react';
import { CONDITION_LENGTH, type LabelLimit } from '../../../shared/contract/products.ts';
import { marginKinds } from '../../../shared/core/limits/margin-kept.ts';
import { clock } from '../../../shared/core/limits/time-limits.ts';
import { spaceDoseUnitsOf, spaceUnits } from '../../../shared/core/loads/closed-space.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { limitKinds, limitUnit, limitWords, marginWord } from './limit-words.ts';

type Kind = LabelLimit['kind'];
const kindOptions = (Object.keys(limitKinds) as Kind[]).map((kind) => ({ value: kind, label: limitKinds[kind].label }));
const periods = (['crop', 'season', '12 months', 'calendar year', 'years'] as const).map((value) => ({
	value,
	label: value,
}));

/** What is still being entered when the form is sent: taken along where it is whole; not `ok` where it says what it lacks. */
export type Finish = () => { readonly ok: boolean; readonly limit?: LabelLimit };

/** The limits of the label, one line each. A limit that is not entered is shown as not known in every plan. */
export function LimitsEditor(props: {
	readonly value: readonly LabelLimit[];
	readonly onChange: (limits: readonly LabelLimit[]) => void;
	readonly unit: string;
	/** Finishes the line that is being entered; null while there is none. */
	readonly finish: RefObject<Finish | null>;
}) {
	const { say } = useUnits();
	const { value, onChange, unit } = props;
	const [adding, setAdding] = useState(false);
	return (
		<fieldset className="group stack tight">
			<legend className="entry-label">Label limits</legend>
			{value.map((limit, index) => (
				// biome-ignore lint/suspicious/noArrayIndexKey: the same limit may stand twice while lines are being entered
				<div className="row spread" key={index}>
					<span>{say(limitWords(limit, unit))}</span>
					<Button
						variant="subtle"
						size="xs"
						aria-label={`Take off ${say(limitWords(limit, unit))}`}
						onClick={() => onChange(value.filter((_, at) => at !== index))}
					>
						Take off
					</Button>
				</div>
			))}
			{adding ? (
				<NewLimit
					unit={unit}
					finish={props.finish}
					onAdd={(limit) => {
						onChange([...value, limit]);
						setAdding(false);
					}}
					onLeave={() => setAdding(false)}
				/>
			) : (
				<div>
					<Button variant="default" size="xs" onClick={() => setAdding(true)}>
						Add a limit
					</Button>
				</div>
			)}
		</fieldset>
	);
}

type Draft = { readonly [Key in keyof LabelLimit]?: LabelLimit[Key] | undefined };

function NewLimit(props: {
	readonly unit: string;
	readonly finish: RefObject<Finish | null>;
	readonly onAdd: (limit: LabelLimit) => void;
	readonly onLeave: () => void;
}) {
	const [draft, setDraft] = useState<Draft>({ source: 'label', fromMemory: false });
	const [trouble, setTrouble] = useState('');
	const { kind } = draft;
	const entries = kind ? limitKinds[kind].entries : [];
	const yearly = kind !== undefined && limitKinds[kind].yearly === true;
	const figures = kind && limitKinds[kind].hours ? [] : entries;
	const unit = draft.doseUnit ?? (kind ? limitUnit(kind, props.unit) : '');
	const set = (change: Draft) => setDraft({ ...draft, ...change });

	/** The line is inside the product's own form, so it checks itself instead of sending. */
	function add(): void {
		const needed = missing(draft);
		setTrouble(needed);
		if (needed === '' && kind) props.onAdd(limitOf(draft, kind));
	}

	useEffect(() => {
		const { finish } = props;
		finish.current = () => {
			if (!kind) return { ok: true };
			const needed = missing(draft);
			setTrouble(needed);
			return needed === '' ? { ok: true, limit: limitOf(draft, kind) } : { ok: false };
		};
		return () => {
			finish.current = null;
		};
	});

	return (
		<div className="stack tight new-limit">
			<div className="pair">
				<Pick
					label="Limit"
					options={kindOptions}
					value={kind ?? null}
					onChange={(next) => next && setDraft({ kind: next, source: draft.source, fromMemory: draft.fromMemory })}
				/>
				{entries.includes('substance') && (
					<TextInput
						label="Active substance"
						maxLength={100}
						value={draft.substance ?? ''}
						onChange={(event) => set({ substance: event.currentTarget.value })}
					/>
				)}
				{entries.includes('group') && (
					<TextInput
						label="Group"
						maxLength={20}
						value={draft.group ?? ''}
						onChange={(event) => set({ group: event.currentTarget.value })}
					/>
				)}
				{entries.includes('partner') && (
					<TextInput
						label="Product"
						maxLength={200}
						value={draft.partner ?? ''}
						onChange={(event) => set({ partner: event.currentTarget.value })}
					/>
				)}
				{entries.includes('condition') && (
					<ConditionInput value={draft.condition ?? ''} onChange={(condition) => set({ condition })} />
				)}
				{entries.includes('margin') && <MarginPick draft={draft} onChange={set} />}
				{kind && limitKinds[kind].hours && <Hours draft={draft} onChange={set} />}
				{figures.includes('min') && (
					<QuantityInput
						label="At least"
						description={kind === 'followingCrop' ? 'Left empty: never as the next crop' : undefined}
						unit={unit}
						min={0}
						value={draft.min ?? null}
						onChange={(min) => set({ min: min ?? undefined })}
					/>
				)}
				{figures.includes('max') && (
					<QuantityInput
						label="At most"
						unit={unit}
						min={0}
						value={draft.max ?? null}
						onChange={(max) => set({ max: max ?? undefined })}
					/>
				)}
				{entries.includes('reducible') && <ReduciblePick draft={draft} onChange={set} />}
				{entries.includes('doseUnit') && (
					<Pick
						label="In closed spaces, given in"
						description="Left empty: on ground or seed"
						clearable
						options={unitOptions(props.unit)}
						value={draft.doseUnit ?? null}
						onChange={(doseUnit) => set({ doseUnit: doseUnit ?? undefined })}
					/>
				)}
				{entries.includes('per') && (
					<Pick
						label="Per"
						options={periods}
						value={draft.per ?? null}
						onChange={(per) => set({ per: per ?? undefined })}
					/>
				)}
				{draft.per === 'years' && (
					<QuantityInput
						label="Years"
						whole
						min={1}
						value={draft.years ?? null}
						onChange={(years) => set({ years: years ?? undefined })}
					/>
				)}
				{entries.includes('crops') && (
					<TextInput
						label={kind === 'followingCrop' ? 'Crops that are to follow' : 'Crops'}
						description={`EPPO codes or names, with commas${kind === 'followingCrop' ? '; left empty: any crop' : ''}`}
						value={draft.crops?.join(', ') ?? ''}
						onChange={(event) => set({ crops: event.currentTarget.value.split(',').map((crop) => crop.trimStart()) })}
					/>
				)}
				{entries.includes('crop') && (
					<TextInput
						label={kind === 'followingCrop' ? 'Only where this crop was treated' : 'Only in crop'}
						description="Left empty: in every crop"
						maxLength={40}
						value={draft.crop ?? ''}
						onChange={(event) => set({ crop: event.currentTarget.value })}
					/>
				)}
				{entries.includes('from') && (
					<DateInput
						label={yearly ? 'Every year from' : 'From'}
						description={yearly && 'Left empty: all the year'}
						value={draft.from ?? null}
						onChange={(from) => set({ from: from ?? undefined })}
					/>
				)}
				{entries.includes('to') && (
					<DateInput
						label="To"
						description={yearly && 'The year itself does not count'}
						value={draft.to ?? null}
						onChange={(to) => set({ to: to ?? undefined })}
					/>
				)}
				<TextInput
					label="Source"
					maxLength={300}
					value={draft.source ?? ''}
					onChange={(event) => set({ source: event.currentTarget.value })}
				/>
			</div>
			<Checkbox
				label="From memory: ask, never stop"
				checked={draft.fromMemory ?? false}
				onChange={(event) => set({ fromMemory: event.currentTarget.checked })}
			/>
			{trouble !== '' && (
				<p className="entry-error" role="alert" ref={(line) => line?.scrollIntoView({ block: 'center' })}>
					{trouble}
				</p>
			)}
			<div className="form-foot">
				<Button variant="default" size="xs" onClick={props.onLeave}>
					Leave it
				</Button>
				<Button size="xs" onClick={add}>
					Add this limit
				</Button>
			</div>
		</div>
	);
}

/** Usual in the safety phrases for soils, drains and water: SPe 1 to SPe 3 of Regulation (EU) 547/2011, from memory. */
const usualConditions = ['drained land', 'sandy soil', 'slope over 2 % towards water', 'water protection zone'];

/** The words of the label; those of other products are offered, so that one answer of a field serves all of them. */
function ConditionInput({ value, onChange }: { readonly value: string; readonly onChange: (value: string) => void }) {
	const products = useProcedure(['products'], (api) => api.products.list({})).answer ?? [];
	const known = products.flatMap(({ limits }) => limits.flatMap(({ condition }) => condition ?? []));
	return (
		<Autocomplete
			label="Not on"
			description="As the label says it"
			maxLength={CONDITION_LENGTH}
			data={[...new Set([...known, ...usualConditions])]}
			value={value}
			onChange={onChange}
			comboboxProps={{ transitionProps: { duration: 0 } }}
		/>
	);
}

function MarginPick({ draft, onChange }: { readonly draft: Draft; readonly onChange: (change: Draft) => void }) {
	return (
		<Pick
			label="To"
			options={marginKinds.map((value) => ({ value, label: marginWord[value] }))}
			value={draft.margin ?? 'water'}
			onChange={(margin) => onChange({ margin: margin === 'water' || margin === null ? undefined : margin })}
		/>
	);
}

const reducibleWords = { yes: 'Yes, by an assessment', no: 'No' } as const;

function ReduciblePick({ draft, onChange }: { readonly draft: Draft; readonly onChange: (change: Draft) => void }) {
	return (
		<Pick
			label="May it be less?"
			placeholder="Not looked up"
			clearable
			options={(['yes', 'no'] as const).map((value) => ({ value, label: reducibleWords[value] }))}
			value={draft.reducible === undefined ? null : draft.reducible ? 'yes' : 'no'}
			onChange={(answer) => onChange({ reducible: answer === null ? undefined : answer === 'yes' })}
		/>
	);
}

/** The hours between which it may begin, as times of the day. */
function Hours({ draft, onChange }: { readonly draft: Draft; readonly onChange: (change: Draft) => void }) {
	const edges = draft.kind === 'flowering' ? (['Allowed then from', 'Until'] as const) : (['From', 'Until'] as const);
	return edges.map((label, index) => {
		const name = index === 0 ? 'min' : 'max';
		const hour = draft[name];
		return (
			<TimeInput
				key={name}
				label={label}
				description={index === 0 && draft.kind === 'flowering' && 'Left empty: not at all'}
				value={hour === undefined ? '' : clock(hour)}
				onChange={(time) => onChange({ [name]: time === '' ? undefined : hourOf(time) })}
			/>
		);
	});
}

/** `20:30` → `20.5`. */
function hourOf(time: string): number {
	const [hours = 0, minutes = 0] = time.split(':').map(Number);
	return hours + minutes / 60;
}

function unitOptions(unit: string) {
	return spaceUnits
		.flatMap((of) => spaceDoseUnitsOf(unit === 'kg' ? 'kg' : 'L', of))
		.map((value) => ({ value, label: value }));
}

/** What a limit still lacks to mean anything; empty when nothing. */
function missing(draft: Draft): string {
	if (!draft.kind) return 'Choose what is limited.';
	const { entries, plain, yearly } = limitKinds[draft.kind];
	const named = (['substance', 'group', 'partner', 'condition'] as const).find(
		(entry) => entries.includes(entry) && !draft[entry]?.trim(),
	);
	if (named) return 'Name what the limit is about.';
	const figures = entries.filter((entry) => entry === 'min' || entry === 'max' || entry === 'from' || entry === 'to');
	const noFigure = figures.length > 0 && figures.every((entry) => draft[entry] === undefined);
	const noCrop = entries.includes('crops') && cropsOf(draft).length === 0;
	if (draft.kind === 'followingCrop') return noFigure && noCrop ? 'Enter the days, or name the crops, or both.' : '';
	if (!plain && noFigure) return 'Enter the figure the label gives.';
	if (yearly && (draft.from === undefined) !== (draft.to === undefined)) return 'Enter both dates, or none.';
	if (noCrop) return 'Name at least one crop.';
	if (draft.per === 'years' && draft.years === undefined) return 'Enter the number of years.';
	return '';
}

function cropsOf(draft: Draft): string[] {
	return (draft.crops ?? []).map((crop) => crop.trim()).filter((crop) => crop !== '');
}

function limitOf(draft: Draft, kind: Kind): LabelLimit {
	const filled = Object.fromEntries(
		Object.entries(draft).filter(([, value]) => value !== undefined && value !== ''),
	) as Partial<LabelLimit>;
	const { crops: _, ...others } = filled;
	const crops = cropsOf(draft);
	return {
		...others,
		...(crops.length > 0 ? { crops } : {}),
		kind,
		source: draft.source?.trim() || 'label',
		fromMemory: draft.fromMemory ?? false,
	};
}
