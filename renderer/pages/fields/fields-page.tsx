import { Button, TextInput } from '@mantine/core';
import { useMemo, useState } from 'react';
import { useLocation } from 'wouter';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import { addedUpApart, count } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { Reminders } from '../../parts/reminders.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { AddField } from './add-field.tsx';
import { ExportDialog } from './export-dialog.tsx';
import { strip } from './field-words.ts';
import './fields.css';
import { ImportDialog } from './import-dialog.tsx';
import { RegisterMap } from './register-map.tsx';

/** The field register: every field with its two areas and the one it is loaded for, beside the map. */
export function FieldsPage() {
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const [opened, setOpened] = useState<'import' | 'add' | 'export' | null>(null);
	return (
		<Page title="Fields" columns={fields.answer?.length ? 'two-map' : 'one'}>
			<Answered asked={fields}>
				{(rows) =>
					rows.length > 0 ? (
						<Register
							rows={rows}
							onImport={() => setOpened('import')}
							onAdd={() => setOpened('add')}
							onExport={() => setOpened('export')}
						/>
					) : (
						<NoFields onImport={() => setOpened('import')} onAdd={() => setOpened('add')} />
					)
				}
			</Answered>
			<ImportDialog opened={opened === 'import'} onClose={() => setOpened(null)} />
			<AddField opened={opened === 'add'} onClose={() => setOpened(null)} />
			<ExportDialog opened={opened === 'export'} onClose={() => setOpened(null)} />
		</Page>
	);
}

type Ways = { readonly onImport: () => void; readonly onAdd: () => void };

function NoFields({ onImport, onAdd }: Ways) {
	return (
		<section>
			<PageHead title="Fields" />
			<Empty
				title="No fields in the register yet."
				next={
					<>
						<Button onClick={onImport}>Bring in boundaries</Button>
						<Button variant="default" onClick={onAdd}>
							Add a field by hand
						</Button>
					</>
				}
			>
				Bring in the boundary file of the farm: a shapefile, GeoPackage, GeoJSON, KML or the task data of a terminal.
				Each field is measured on the way in, and its mapped area stays beside the measured one.
			</Empty>
		</section>
	);
}

function Register({
	rows,
	onImport,
	onAdd,
	onExport,
}: Ways & { readonly rows: readonly FieldRow[]; readonly onExport: () => void }) {
	const units = useUnits();
	const [, go] = useLocation();
	const [wanted, setWanted] = useState('');
	const [pointed, setPointed] = useState<string | null>(null);
	const found = useMemo(() => matching(rows, wanted), [rows, wanted]);
	const open = (id: string) => go(`/fields/${id}`);
	const apart = rows.filter((row) => row.withinTolerance === false).length;
	return (
		<>
			<section>
				<PageHead title="Fields">
					<Button variant="subtle" onClick={() => go('/spaces')}>
						Closed spaces
					</Button>
					<Button variant="default" onClick={onExport}>
						Export
					</Button>
					<Button variant="default" onClick={onAdd}>
						Add by hand
					</Button>
					<Button onClick={onImport}>Bring in boundaries</Button>
				</PageHead>
				<p className="quiet">{summary(rows, apart, units)}</p>
				<Reminders />
				{rows.length > 8 && (
					<TextInput
						className="screen-only"
						aria-label="Find a field by name, code or crop"
						placeholder="Find a field by name, code or crop"
						type="search"
						my={8}
						value={wanted}
						onChange={(event) => setWanted(event.currentTarget.value)}
					/>
				)}
				<Table
					caption="Field register"
					sortedBy="name"
					rows={found}
					columns={columns(found, units)}
					rowKey={(row) => row.id}
					onOpen={(row) => open(row.id)}
					onPoint={(row) => setPointed(row?.id ?? null)}
					selected={pointed}
					height={found.length > 200 ? 'calc(100vh - 230px)' : undefined}
				/>
				{found.length === 0 && <p className="quiet above">No field matches “{wanted}”.</p>}
			</section>
			<RegisterMap rows={rows} found={found} pointed={pointed} onPoint={setPointed} onOpen={open} />
		</>
	);
}

function columns(rows: readonly FieldRow[], units: Units): Column<FieldRow>[] {
	const { hectares, say } = units;
	const ha = units.name('ha');
	return [
		{
			key: 'name',
			head: 'Field',
			sort: (row) => row.name,
			cell: (row) => (
				<>
					{row.name}
					{row.code && row.code !== row.name && <span className="second">{row.code}</span>}
				</>
			),
			foot: <Together rows={rows} units={units} />,
		},
		{
			key: 'crop',
			head: 'Crop',
			sort: (row) => row.crop ?? null,
			cell: (row) => row.crop ?? <span className="quiet">–</span>,
		},
		{
			key: 'mapped',
			head: `mapped ${ha}`,
			number: true,
			sort: (row) => row.mappedHa,
			cell: (row) => <span className="quiet">{hectares(row.mappedHa)}</span>,
			foot: <Total rows={rows} units={units} of={(row) => row.mappedHa} />,
		},
		{
			key: 'measured',
			head: `measured ${ha}`,
			number: true,
			sort: (row) => row.measuredHa,
			cell: (row) => hectares(row.measuredHa),
			foot: <Total rows={rows} units={units} of={(row) => row.measuredHa} />,
		},
		{
			key: 'strip',
			head: 'all round',
			number: true,
			sort: (row) => row.edgeStripM,
			cell: (row) =>
				row.withinTolerance === false ? (
					<span className="chip">{say(strip(row.edgeStripM))}</span>
				) : (
					say(strip(row.edgeStripM))
				),
		},
		{
			key: 'load',
			head: `to load ${ha}`,
			number: true,
			sort: (row) => row.loadForHa,
			cell: (row) => <b>{hectares(row.loadForHa)}</b>,
			foot: <Total rows={rows} units={units} of={(row) => row.loadForHa} />,
		},
	];
}

/** Names the foot; a reader who adds the column up is told why a hundredth may be over. */
function Together({ rows, units }: { readonly rows: readonly FieldRow[]; readonly units: Units }) {
	const shown = (value: number | null) => (value === null ? null : units.value(value, 'ha'));
	const columns = [
		rows.map((row) => shown(row.mappedHa)),
		rows.map((row) => shown(row.measuredHa)),
		rows.map((row) => shown(row.loadForHa)),
	];
	return (
		<>
			Together
			{columns.some(addedUpApart) && <span className="second">added up before rounding</span>}
		</>
	);
}

/** The sum of the fields that have the figure, and of how many where not all do. */
function Total({
	rows,
	units,
	of,
}: {
	readonly rows: readonly FieldRow[];
	readonly units: Units;
	readonly of: (row: FieldRow) => number | null;
}) {
	const known = rows.filter((row) => of(row) !== null).length;
	return (
		<>
			{units.hectares(total(rows, of))}
			{known > 0 && known < rows.length && <span className="second">of {count(known, 'field')}</span>}
		</>
	);
}

function summary(rows: readonly FieldRow[], apart: number, units: Units): string {
	const loadForHa = total(rows, (row) => row.loadForHa);
	const sum = `${count(rows.length, 'field')}, ${loadForHa === null ? 'no area known yet' : `${units.area(loadForHa)} to load for`}`;
	if (apart === 0) return sum;
	return `${sum}. In ${apart === 1 ? 'one' : apart} of them the two areas are further apart than measuring explains.`;
}

/** Null where no field has the figure: nothing is known, which is not nothing. */
function total(rows: readonly FieldRow[], of: (row: FieldRow) => number | null): number | null {
	const known = rows.map(of).filter((figure) => figure !== null);
	return known.length === 0 ? null : known.reduce((sum, figure) => sum + figure, 0);
}

function matching(rows: readonly FieldRow[], wanted: string): readonly FieldRow[] {
	const words = wanted
		.toLocaleLowerCase()
		.split(/\s+/)
		.filter((word) => word !== '');
	if (words.length === 0) return rows;
	return rows.filter((row) => {
		const text = `${row.name} ${row.code ?? ''} ${row.crop ?? ''}`.toLocaleLowerCase();
		return words.every((word) => text.includes(word));
	});
}
