import { Button, SegmentedControl } from '@mantine/core';
import { useLocalStorage } from '@mantine/hooks';
import { useMemo, useState } from 'react';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Api } from '../../api.ts';
import { count } from '../../format.ts';
import { mapField } from '../../map/boundary.ts';
import { type Colouring, classesOf, classKey, type FieldClass } from '../../map/field-classes.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { leftOutLooks } from '../../map/looks.tsx';
import { MapLegend } from '../../map/map-legend.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { strip } from './field-words.ts';
import { PrintMap } from './print-map.tsx';
import { SeasonDialog } from './season-dialog.tsx';

type Laid = Awaited<ReturnType<Api['fields']['boundaries']>>[number];

/** The fields on the map, coloured by what grows on them or by how far their two areas part. */
export function RegisterMap(props: {
	readonly rows: readonly FieldRow[];
	/** Those the list shows. */
	readonly found: readonly FieldRow[];
	readonly pointed: string | null;
	readonly onPoint: (id: string | null) => void;
	readonly onOpen: (id: string) => void;
}) {
	const { rows, found } = props;
	const units = useUnits();
	const [by, setBy] = useLocalStorage<Colouring>({ key: 'fillmark-map-colours', defaultValue: 'crop' });
	const [rolling, setRolling] = useState(false);
	const boundaries = useProcedure(['field boundaries'], (api) => api.fields.boundaries({}));
	const legend = useMemo(() => classesOf(rows, by, units), [by, rows, units]);
	const shapes = useMemo(
		() => shapesOf(boundaries.answer ?? [], found, { by, legend, units }),
		[boundaries.answer, found, by, legend, units],
	);
	const without = boundaries.answer ? rows.length - boundaries.answer.length : 0;
	return (
		<section>
			<div className="row spread low map-head">
				<SegmentedControl<Colouring>
					className="screen-only"
					aria-label="Colour the fields by"
					value={by}
					onChange={setBy}
					data={[
						{ value: 'crop', label: 'By crop' },
						{ value: 'difference', label: 'By difference' },
					]}
				/>
				<PrintMap by={by} />
			</div>
			<SeasonDialog opened={rolling} onClose={() => setRolling(false)} />
			<FieldMap
				label="Map of the fields. The table carries the same fields."
				height="min(860px, calc(100vh - 340px))"
				fields={shapes}
				pointed={props.pointed}
				onSelect={props.onOpen}
				onPoint={props.onPoint}
				measures
			/>
			<MapLegend
				entries={[
					...legend.map(({ shade, text }) => ({ shade, text })),
					...Object.entries(leftOutLooks).flatMap(([kind, { look, text }]) =>
						boundaries.answer?.some(({ leftOut }) => leftOut.some((ground) => ground.kind === kind))
							? [{ shade: look, text }]
							: [],
					),
				]}
			/>
			<div className="map-foot screen-only">
				<Button variant="subtle" onClick={() => setRolling(true)}>
					Next season’s crops
				</Button>
			</div>
			{without > 0 && (
				<p className="quiet small above">
					{count(without, 'field')} without a boundary {without === 1 ? 'is' : 'are'} not on the map.
				</p>
			)}
		</section>
	);
}

function shapesOf(
	boundaries: readonly Laid[],
	rows: readonly FieldRow[],
	{ by, legend, units }: { readonly by: Colouring; readonly legend: readonly FieldClass[]; readonly units: Units },
) {
	const byId = new Map(rows.map((row) => [row.id, row]));
	const looks = new Map(legend.map(({ key, shade }) => [key, shade]));
	const shown = boundaries.flatMap((boundary) => {
		const row = byId.get(boundary.id);
		return row ? [{ boundary, row }] : [];
	});
	const fields = shown.map(({ boundary, row }) => {
		const look = looks.get(classKey(row, by)) ?? 'plain';
		const says = by === 'crop' ? (row.crop ?? 'no crop noted') : units.say(strip(row.edgeStripM));
		return mapField(boundary, `${units.area(row.loadForHa)} to load for · ${says}`, look);
	});
	const leftOut = shown.flatMap(({ boundary: { id: partOf, name: field, leftOut } }) =>
		leftOut.map(({ id, label, geometry, areaHa, kind }) => ({
			...mapField({ id, name: label, geometry }, `${field}: ${kind}, ${units.area(areaHa)}`, leftOutLooks[kind].look),
			partOf,
		})),
	);
	return [...fields, ...leftOut];
}
