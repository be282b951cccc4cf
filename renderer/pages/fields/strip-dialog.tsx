import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { toHectares } from '../../../shared/units/area.ts';
import { figure } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';

type Props = { readonly detail: FieldDetail; readonly opened: boolean; readonly onClose: () => void };
type Kind = 'strip' | 'obstacle';

/** Notes ground that is not sprayed by its area alone. */
export function StripDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`${detail.field.name}: not sprayed`} opened={opened} onClose={onClose}>
			<StripForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function StripForm({ detail, onClose }: Omit<Props, 'opened'>) {
	const { say } = useUnits();
	const [kind, setKind] = useState<Kind>('obstacle');
	const [label, setLabel] = useState('');
	const [areaM2, setAreaM2] = useState<number | null>(null);
	const areaHa = areaM2 === null ? null : toHectares(areaM2);
	const { id } = detail.field;
	const add = useCommand(
		(api, _: null, key) => api.fields.addStrip({ key, id, kind, label, ...(areaHa === null ? {} : { areaHa }) }),
		onClose,
	);
	return (
		<EntryForm
			command={add}
			onSubmit={() => add.run(null)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={add.busy}>
						Note it as not sprayed
					</Button>
				</>
			}
		>
			<Choice<Kind>
				legend="What it is"
				value={kind}
				onChange={setKind}
				options={[
					{ value: 'obstacle', label: 'An obstacle', detail: 'pond, mast, copse' },
					{ value: 'strip', label: 'A strip or corner', detail: 'ditch, public path' },
				]}
			/>
			<TextInput
				label="Name"
				required
				maxLength={200}
				value={label}
				onChange={(event) => setLabel(event.currentTarget.value)}
			/>
			<QuantityInput
				label="Area"
				unit="m²"
				required
				min={1}
				value={areaM2}
				onChange={setAreaM2}
				description={areaHa === null ? 'A hectare has 10,000' : say(`${figure(areaHa, 4)} ha`)}
			/>
			{detail.geometry && (
				<p className="small">
					{kind === 'strip' ? (
						<>
							Or <Link href={`/fields/${id}/strip`}>lay it along edges on the map</Link>, and its area is worked out.
						</>
					) : (
						<>
							Or <Link href={`/fields/${id}/obstacle`}>draw it on the map</Link>, and its area is measured.
						</>
					)}
				</p>
			)}
		</EntryForm>
	);
}

/** Takes a strip off the field, with a reason that stays in the book. */
export function RemoveStrip(props: {
	readonly detail: FieldDetail;
	readonly stripId: string | null;
	readonly onClose: () => void;
}) {
	const strip = props.detail.strips.find((each) => each.id === props.stripId);
	return (
		<Dialog title={strip ? `Take off ${strip.label}` : 'Take off'} opened={strip !== undefined} onClose={props.onClose}>
			{strip && <RemoveForm detail={props.detail} strip={strip} onClose={props.onClose} />}
		</Dialog>
	);
}

function RemoveForm({
	detail,
	strip,
	onClose,
}: {
	readonly detail: FieldDetail;
	readonly strip: FieldDetail['strips'][number];
	readonly onClose: () => void;
}) {
	const { area } = useUnits();
	const [why, setWhy] = useState('');
	const remove = useCommand(
		(api, _: undefined, key) => api.fields.removeStrip({ key, id: detail.field.id, stripId: strip.id, why }),
		onClose,
	);
	return (
		<EntryForm
			command={remove}
			onSubmit={() => remove.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={remove.busy}>
						Take it off
					</Button>
				</>
			}
		>
			<p>
				{area(strip.areaHa)} will be sprayed again in new jobs. Jobs and records that stand keep the area they were made
				with.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
		</EntryForm>
	);
}
