import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand } from '../../use-procedure.ts';

/** Adds a field without a boundary: name and whatever figures there are. */
export function AddField({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }) {
	return (
		<Dialog title="Add a field by hand" opened={opened} onClose={onClose}>
			<AddFieldForm onClose={onClose} />
		</Dialog>
	);
}

function AddFieldForm({ onClose }: { readonly onClose: () => void }) {
	const [, go] = useLocation();
	const [name, setName] = useState('');
	const [code, setCode] = useState('');
	const [mappedHa, setMappedHa] = useState<number | null>(null);
	const [measuredHa, setMeasuredHa] = useState<number | null>(null);
	const add = useCommand(
		(api, _: undefined, key) =>
			api.fields.add({
				key,
				name,
				...(code.trim() === '' ? {} : { code }),
				...(mappedHa === null ? {} : { mappedHa }),
				...(measuredHa === null ? {} : { measuredHa }),
			}),
		({ id }) => {
			onClose();
			go(`/fields/${id}`);
		},
	);
	return (
		<EntryForm
			command={add}
			onSubmit={() => add.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={add.busy}>
						Add the field
					</Button>
				</>
			}
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
				<TextInput
					label="Code"
					description="As in the land register, if it has one"
					maxLength={60}
					value={code}
					onChange={(event) => setCode(event.currentTarget.value)}
				/>
			</div>
			<div className="pair">
				<QuantityInput
					label="Mapped area"
					unit="ha"
					description="The legal or mapped figure"
					min={0.0001}
					value={mappedHa}
					onChange={setMappedHa}
				/>
				<QuantityInput
					label="Typed area"
					unit="ha"
					description="From the receiver, until a boundary is in"
					min={0.0001}
					value={measuredHa}
					onChange={setMeasuredHa}
				/>
			</div>
			<p className="quiet small">
				A boundary can be brought in later; it is matched by code or name. Or{' '}
				<Link href="/fields/draw">draw the field on the map</Link>.
			</p>
		</EntryForm>
	);
}
