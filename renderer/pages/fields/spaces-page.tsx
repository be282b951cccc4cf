import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { ClosedSpace } from '../../../shared/contract/spaces.ts';
import { type SpaceKind, spaceKinds } from '../../../shared/core/loads/closed-space.ts';
import { figure } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { Table } from '../../parts/table.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Form = 'add' | ClosedSpace | null;

/** The stores, silos and glasshouses that are treated: what each is, where it stands and how large it is. */
export function SpacesPage() {
	const spaces = useProcedure(['spaces'], (api) => api.spaces.list({}));
	const [form, setForm] = useState<Form>(null);
	const shut = () => setForm(null);
	return (
		<Page title="Closed spaces">
			<section>
				<p className="quiet small screen-only">
					<Link href="/fields">Fields</Link>
				</p>
				<Answered asked={spaces}>
					{(rows) =>
						rows.length > 0 ? (
							<>
								<PageHead title="Closed spaces" under="Stores, silos and glasshouses that are treated as they stand">
									<Button onClick={() => setForm('add')}>Add a closed space</Button>
								</PageHead>
								<Spaces rows={rows} onOpen={setForm} />
							</>
						) : (
							<>
								<PageHead title="Closed spaces" />
								<Empty
									title="No closed space is on the books yet."
									next={<Button onClick={() => setForm('add')}>Add a closed space</Button>}
								>
									A grain store, a potato store or a glasshouse that is fogged, sprayed inside or whose crop is treated.
									Its volume or floor area gives the amount of product, its name and place stand on the record.
								</Empty>
							</>
						)
					}
				</Answered>
			</section>
			<Dialog title="Add a closed space" opened={form === 'add'} onClose={shut} size="wide">
				<SpaceForm space={null} onClose={shut} />
			</Dialog>
			<Dialog
				title={form !== null && form !== 'add' ? `Change ${form.name}` : 'Change'}
				opened={form !== null && form !== 'add'}
				onClose={shut}
				size="wide"
			>
				{form !== null && form !== 'add' && <SpaceForm space={form} onClose={shut} />}
			</Dialog>
		</Page>
	);
}

function Spaces({
	rows,
	onOpen,
}: {
	readonly rows: readonly ClosedSpace[];
	readonly onOpen: (row: ClosedSpace) => void;
}) {
	return (
		<Table
			caption="Closed spaces"
			rows={rows}
			rowKey={(row) => row.id}
			onOpen={onOpen}
			sortedBy="name"
			columns={[
				{
					key: 'name',
					head: 'Closed space',
					sort: (row) => row.name,
					cell: (row) => (
						<>
							{row.name}
							<span className="second">{[row.kind, row.code].filter(Boolean).join(' · ')}</span>
						</>
					),
				},
				{ key: 'place', head: 'Where it stands', cell: (row) => <span className="quiet">{placeWords(row)}</span> },
				{
					key: 'floor',
					head: 'surface m²',
					number: true,
					sort: (row) => row.floorM2 ?? null,
					cell: (row) => figure(row.floorM2),
				},
				{
					key: 'volume',
					head: 'air m³',
					number: true,
					sort: (row) => row.volumeM3 ?? null,
					cell: (row) => figure(row.volumeM3),
				},
			]}
		/>
	);
}

function placeWords({ place, latitude, longitude }: ClosedSpace): string {
	const point = latitude === undefined || longitude === undefined ? null : `${latitude}, ${longitude}`;
	return [place, point].filter(Boolean).join(' · ') || '–';
}

type Texts = { readonly [Key in 'name' | 'code' | 'place' | 'note']: string };
type Figures = { readonly [Key in 'floorM2' | 'volumeM3' | 'latitude' | 'longitude']: number | null };

function SpaceForm({ space, onClose }: { readonly space: ClosedSpace | null; readonly onClose: () => void }) {
	const [kind, setKind] = useState<SpaceKind>(space?.kind ?? 'grain store');
	const [texts, setTexts] = useState<Texts>({
		name: space?.name ?? '',
		code: space?.code ?? '',
		place: space?.place ?? '',
		note: space?.note ?? '',
	});
	const [figures, setFigures] = useState<Figures>({
		floorM2: space?.floorM2 ?? null,
		volumeM3: space?.volumeM3 ?? null,
		latitude: space?.latitude ?? null,
		longitude: space?.longitude ?? null,
	});
	const [taking, setTaking] = useState(false);
	const [why, setWhy] = useState('');
	const save = useCommand(async (api, _: null, key) => {
		const entry = {
			kind,
			name: texts.name,
			...Object.fromEntries((['code', 'place', 'note'] as const).flatMap((name) => said(name, texts[name], space))),
			...Object.fromEntries(Object.entries(figures).filter(([, value]) => value !== null)),
		};
		return space
			? api.spaces.update({ key, id: space.id, version: space.version, ...entry })
			: api.spaces.add({ key, ...entry });
	}, onClose);
	const remove = useCommand(
		(api, { id, version }: ClosedSpace, key) => api.spaces.remove({ key, id, version, why }),
		onClose,
	);
	const text = (
		name: keyof Texts,
		label: string,
		more: { description?: string; required?: boolean; most?: number } = {},
	) => (
		<TextInput
			label={label}
			required={more.required ?? false}
			description={more.description}
			maxLength={more.most ?? 200}
			autoComplete="off"
			value={texts[name]}
			onChange={(event) => {
				const { value } = event.currentTarget;
				setTexts((now) => ({ ...now, [name]: value }));
			}}
		/>
	);
	const number = (name: keyof Figures, label: string, unit: string, description: string, [min, max] = [0.001, 1e7]) => (
		<QuantityInput
			label={label}
			unit={unit}
			description={description}
			min={min ?? 0}
			max={max ?? 0}
			value={figures[name]}
			onChange={(value) => setFigures((now) => ({ ...now, [name]: value }))}
		/>
	);
	if (taking && space) {
		return (
			<EntryForm
				command={remove}
				onSubmit={() => remove.run(space)}
				foot={
					<>
						<Button variant="default" onClick={() => setTaking(false)}>
							Leave it on the list
						</Button>
						<Button type="submit" loading={remove.busy}>
							Take it off the list
						</Button>
					</>
				}
			>
				<p>Its jobs and records stay as they are; new jobs can no longer be planned in it.</p>
				<TextInput
					label="Why"
					required
					maxLength={200}
					value={why}
					onChange={(event) => setWhy(event.currentTarget.value)}
				/>
			</EntryForm>
		);
	}
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(null)}
			foot={
				<>
					{space && (
						<Button variant="subtle" onClick={() => setTaking(true)}>
							Take it off the list
						</Button>
					)}
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						{space ? 'Save the change' : 'Put it on the books'}
					</Button>
				</>
			}
		>
			<div className="pair">
				{text('name', 'Name', { required: true })}
				<Pick
					label="Kind"
					required
					options={spaceKinds.map((value) => ({ value, label: value }))}
					value={kind}
					onChange={(next) => next && setKind(next)}
				/>
				{number('volumeM3', 'Air space', 'm³', 'Doses of fogs and gases')}
				{number('floorM2', 'Surface', 'm²', 'Floor, or floor and walls as they are sprayed')}
			</div>
			<h2>Where it stands</h2>
			<div className="pair">
				{text('place', 'Address', { description: 'Or words that find it' })}
				{text('code', 'Code', { description: 'In a register, if it has one', most: 40 })}
				{number('latitude', 'Latitude', '°', 'WGS 84, if known', [-90, 90])}
				{number('longitude', 'Longitude', '°', 'East positive', [-180, 180])}
			</div>
			{text('note', 'Note', { most: 4000 })}
		</EntryForm>
	);
}

/** A text that was entered, or was there before and is now empty. */
function said(name: 'code' | 'place' | 'note', value: string, space: ClosedSpace | null): [string, string][] {
	return value.trim() !== '' || space?.[name] !== undefined ? [[name, value.trim()]] : [];
}
