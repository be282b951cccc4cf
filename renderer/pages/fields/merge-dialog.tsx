import { Button, MultiSelect, TextInput } from '@mantine/core';
import { useState } from 'react';
import { useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { Api } from '../../api.ts';
import { figure } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { pickOnEnter } from '../../parts/pick-on-enter.ts';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Props = { readonly detail: FieldDetail; readonly opened: boolean; readonly onClose: () => void };

/** Makes one field of this one and others; the old ones leave the register and keep their history. */
export function MergeDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`Merge ${detail.field.name} with others`} opened={opened} onClose={onClose}>
			<MergeForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function MergeForm({ detail, onClose }: Omit<Props, 'opened'>) {
	const { area } = useUnits();
	const [, go] = useLocation();
	const { field } = detail;
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const [chosen, setChosen] = useState<string[]>([]);
	const [listed, setListed] = useState(false);
	const [name, setName] = useState(field.name);
	const [code, setCode] = useState('');
	const others = (fields.answer ?? []).filter(({ id, measuredHa }) => id !== field.id && measuredHa !== null);
	const taken = others.filter(({ id }) => chosen.includes(id));
	const totalHa = taken.reduce((sum, { measuredHa }) => sum + (measuredHa ?? 0), field.measuredHa ?? 0);
	const together = useProcedure(
		['merged ground', field.id, ...chosen],
		(api) => api.fields.mergeGround({ ids: [field.id, ...chosen] }),
		{ enabled: chosen.length > 0, keepPrevious: true },
	);
	const merge = useCommand(
		(api, _: undefined, key) =>
			api.fields.merge({
				key,
				fields: [field, ...taken].map(({ id, version }) => ({ id, version })),
				name,
				...(code.trim() === '' ? {} : { code }),
			}),
		({ fields: [merged], warnings }) => {
			onClose();
			if (merged) go(`/fields/${merged.id}`, { state: { carried: warnings } });
		},
	);
	return (
		<EntryForm
			command={merge}
			onSubmit={() => taken.length > 0 && merge.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={merge.busy} disabled={taken.length === 0}>
						Merge them
					</Button>
				</>
			}
		>
			<MultiSelect
				label="With"
				placeholder={chosen.length === 0 ? 'Fields with a boundary' : ''}
				required
				searchable
				selectFirstOptionOnChange
				onKeyDownCapture={pickOnEnter((text) => text.trim() !== '')}
				data-autofocus
				data={others.map((other) => ({ value: other.id, label: `${other.name} · ${area(other.measuredHa)}` }))}
				value={chosen}
				onChange={(next) => {
					setChosen(next);
					// The list would lie over the button that merges.
					setListed(false);
				}}
				dropdownOpened={listed}
				onDropdownOpen={() => setListed(true)}
				onDropdownClose={() => setListed(false)}
				limit={100}
				hidePickedOptions
				comboboxProps={{ transitionProps: { duration: 0 } }}
			/>
			<div className="pair">
				<TextInput
					label="Name"
					required
					maxLength={200}
					value={name}
					onChange={(event) => setName(event.currentTarget.value)}
				/>
				<TextInput label="Code" maxLength={60} value={code} onChange={(event) => setCode(event.currentTarget.value)} />
			</div>
			{taken.length > 0 && together.answer?.gap && (
				<Apart gap={together.answer.gap} parts={together.answer.parts} several={taken.length > 1} />
			)}
			{taken.length > 0 && (
				<p>
					{area(together.answer?.areaHa ?? totalHa)} together. {taken.length === 1 ? 'Both' : `All ${taken.length + 1}`}{' '}
					leave the register under their old names; their records stay, and limits count them on this ground.
				</p>
			)}
		</EntryForm>
	);
}

type Together = Awaited<ReturnType<Api['fields']['mergeGround']>>;

/** Said before they are merged: what lies between them is no part of the merged field. */
function Apart(props: {
	readonly gap: NonNullable<Together['gap']>;
	readonly parts: number;
	readonly several: boolean;
}) {
	const { area, say } = useUnits();
	const { narrowestM, furthestM, areaHa } = props.gap;
	const metres = (m: number) => say(`${m < 10 ? figure(m, 1) : figure(m)} m`);
	const apart = props.several
		? `one of them lies ${metres(furthestM)} from the others`
		: `they lie ${metres(narrowestM)} apart`;
	const between = `a gap of about ${area(areaHa)} lies between them, ${metres(narrowestM)} at its narrowest`;
	return (
		<div className="notice" role="status">
			<span className="word">Look</span>
			<div>
				{props.several ? 'Not all of these fields touch' : 'These fields touch nowhere'}:{' '}
				{areaHa === null ? apart : between}. The merged field has {props.parts} parts, and what lies between is no part
				of it.
			</div>
		</div>
	);
}
