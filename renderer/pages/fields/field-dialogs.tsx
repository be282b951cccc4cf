import { Button, TextInput } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { today } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand } from '../../use-procedure.ts';

type Props = { readonly detail: FieldDetail; readonly opened: boolean; readonly onClose: () => void };
type FormProps = Omit<Props, 'opened'>;

/** Name, code and the mapped figure with where it comes from. */
export function EditDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`Change ${detail.field.name}`} opened={opened} onClose={onClose}>
			<EditForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function EditForm({ detail, onClose }: FormProps) {
	const { field } = detail;
	const [name, setName] = useState(field.name);
	const [code, setCode] = useState(field.code ?? '');
	const [mappedHa, setMappedHa] = useState(field.mappedHa);
	const [source, setSource] = useState(detail.mappedSource ?? '');
	const [on, setOn] = useState(detail.mappedOn);
	const save = useCommand(
		(api, _: undefined, key) =>
			api.fields.update({
				key,
				id: field.id,
				version: field.version,
				name,
				code: code.trim() || null,
				mappedHa,
				mappedSource: source.trim() || null,
				mappedOn: on,
			}),
		onClose,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={<Foot busy={save.busy} onClose={onClose} action="Save the change" />}
		>
			<div className="pair">
				<TextInput
					label="Name"
					required
					data-autofocus
					maxLength={200}
					value={name}
					onChange={(event) => setName(event.currentTarget.value)}
				/>
				<TextInput label="Code" maxLength={60} value={code} onChange={(event) => setCode(event.currentTarget.value)} />
			</div>
			<div className="pair">
				<QuantityInput label="Mapped area" unit="ha" min={0.0001} value={mappedHa} onChange={setMappedHa} />
				<DateInput label="As of" value={on} onChange={setOn} />
			</div>
			<TextInput
				label="Source of the mapped area"
				description="Land register, aid application, deed"
				maxLength={200}
				value={source}
				onChange={(event) => setSource(event.currentTarget.value)}
			/>
		</EntryForm>
	);
}

/** A measured figure without a boundary, typed or from the sprayer. */
export function MeasurementDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`${detail.field.name}: a measured figure`} opened={opened} onClose={onClose}>
			<MeasurementForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function MeasurementForm({ detail, onClose }: FormProps) {
	const [kind, setKind] = useState<'typed' | 'sprayed' | 'machine'>('typed');
	const [areaHa, setAreaHa] = useState<number | null>(null);
	const [sigmaHa, setSigmaHa] = useState<number | null>(null);
	const [on, setOn] = useState<string | null>(today());
	const [source, setSource] = useState('');
	const save = useCommand(
		(api, area: number, key) =>
			api.fields.addMeasurement({
				key,
				id: detail.field.id,
				kind,
				areaHa: area,
				source,
				...(sigmaHa === null ? {} : { sigmaHa }),
				...(on === null ? {} : { on }),
			}),
		onClose,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => areaHa !== null && save.run(areaHa)}
			foot={<Foot busy={save.busy} onClose={onClose} action="Add the figure" />}
		>
			<Choice
				legend="Where it comes from"
				value={kind}
				onChange={setKind}
				options={[
					{ value: 'typed', label: 'A receiver or a map', detail: 'the outline of the field' },
					{ value: 'sprayed', label: 'The sprayer', detail: 'the ground it treated, the whole field' },
					{ value: 'machine', label: 'The sprayer, with overlap', detail: 'a counter that adds ground covered twice' },
				]}
			/>
			<div className="pair">
				<QuantityInput label="Area" unit="ha" required min={0.0001} value={areaHa} onChange={setAreaHa} />
				<QuantityInput
					label="Give or take"
					unit="ha"
					description="If known"
					min={0}
					value={sigmaHa}
					onChange={setSigmaHa}
				/>
				<DateInput label="Measured on" value={on} onChange={setOn} />
			</div>
			<TextInput
				label="Source"
				description="For example: receiver on the tractor, walked"
				required
				maxLength={200}
				value={source}
				onChange={(event) => setSource(event.currentTarget.value)}
			/>
		</EntryForm>
	);
}

/** The two ways out of an entry. */
export function Foot({
	busy,
	onClose,
	action,
}: {
	readonly busy: boolean;
	readonly onClose: () => void;
	readonly action: ReactNode;
}) {
	return (
		<>
			<Button variant="default" onClick={onClose}>
				Leave it
			</Button>
			<Button type="submit" loading={busy}>
				{action}
			</Button>
		</>
	);
}
