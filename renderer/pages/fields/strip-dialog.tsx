import { Button, TextInput } from '@mantine/core';
import { useMemo, useState } from 'react';
import { Link } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { hectares } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { SidePicker } from './side-picker.tsx';
import { sidesOf } from './sides.ts';

type Props = { readonly detail: FieldDetail; readonly opened: boolean; readonly onClose: () => void };
type Shape = 'along sides' | 'by area' | 'obstacle';

/** Notes ground that is not sprayed: a strip along chosen sides, or an area. */
export function StripDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`${detail.field.name}: not sprayed`} opened={opened} onClose={onClose} size="wide">
			<StripForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function StripForm({ detail, onClose }: Omit<Props, 'opened'>) {
	const sides = useMemo(() => (detail.geometry ? sidesOf(detail.geometry) : []), [detail.geometry]);
	const [shape, setShape] = useState<Shape>(sides.length > 0 ? 'along sides' : 'by area');
	const [label, setLabel] = useState('');
	const [widthM, setWidthM] = useState<number | null>(null);
	const [areaHa, setAreaHa] = useState<number | null>(null);
	const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
	const [told, setTold] = useState(false);
	const edges = sides.filter((side) => chosen.has(side.letter)).flatMap((side) => side.edges);
	const add = useCommand((api, _: undefined, key) => {
		const ground =
			shape === 'along sides'
				? { edges: [...edges], ...(widthM === null ? {} : { widthM }) }
				: areaHa === null
					? {}
					: { areaHa };
		return api.fields.addStrip({
			key,
			id: detail.field.id,
			kind: shape === 'obstacle' ? 'obstacle' : 'strip',
			label,
			...ground,
		});
	}, onClose);

	function submit(): void {
		setTold(true);
		if (shape !== 'along sides' || edges.length > 0) add.run(undefined);
	}

	return (
		<EntryForm
			command={add}
			onSubmit={submit}
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
			<Choice<Shape>
				legend="What it is"
				value={shape}
				onChange={setShape}
				options={[
					{
						value: 'along sides',
						label: 'A strip along sides of the boundary',
						detail: 'by its width; the area is worked out',
						disabled: sides.length === 0,
					},
					{ value: 'by area', label: 'A strip or corner by its area' },
					{ value: 'obstacle', label: 'An obstacle by its area', detail: 'pond, mast, copse' },
				]}
			/>
			<TextInput
				label="Name"
				description="For example: ditch, public path, pond"
				required
				maxLength={200}
				value={label}
				onChange={(event) => setLabel(event.currentTarget.value)}
			/>
			{shape === 'along sides' ? (
				<>
					<QuantityInput label="Width" unit="m" required min={0.1} max={200} value={widthM} onChange={setWidthM} />
					<SidePicker sides={sides} chosen={chosen} onChange={setChosen} />
					{told && edges.length === 0 && (
						<p className="entry-error" role="alert">
							Tick at least one side.
						</p>
					)}
				</>
			) : (
				<QuantityInput label="Area" unit="ha" required min={0.0001} value={areaHa} onChange={setAreaHa} />
			)}
			{shape === 'obstacle' && detail.geometry && (
				<p className="small">
					Or <Link href={`/fields/${detail.field.id}/obstacle`}>draw it on the map</Link>, and its area is measured.
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
				{hectares(strip.areaHa)} ha will be sprayed again in new jobs. Jobs and records that stand keep the area they
				were made with.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
		</EntryForm>
	);
}
