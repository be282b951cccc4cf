import { Button, SegmentedControl } from '@mantine/core';
import { useLocalStorage } from '@mantine/hooks';
import { useMemo, useState } from 'react';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import { count, hectares } from '../../format.ts';
import { type MapShape, mapField } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { looksFor } from '../../map/looks.tsx';
import { type LegendEntry, MapLegend } from '../../map/map-legend.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { cropsOf, differenceClass, differenceLooks, strip } from './field-words.ts';
import { SeasonDialog } from './season-dialog.tsx';

type Colouring = 'crop' | 'difference';

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
	const [by, setBy] = useLocalStorage<Colouring>({ key: 'fillmark-map-colours', defaultValue: 'crop' });
	const [rolling, setRolling] = useState(false);
	const boundaries = useProcedure(['field boundaries'], (api) => api.fields.boundaries({}));
	const legend = useMemo(() => (by === 'crop' ? cropLegend(rows) : differenceLegend(rows)), [by, rows]);
	const shapes = useMemo(
		() => shapesOf(boundaries.answer ?? [], found, by, legend),
		[boundaries.answer, found, by, legend],
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
				<Button className="screen-only" variant="subtle" onClick={() => setRolling(true)}>
					Next season’s crops
				</Button>
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
			<MapLegend entries={legend.map(({ shade, text }) => ({ shade, text }))} />
			{without > 0 && (
				<p className="quiet small above">
					{count(without, 'field')} without a boundary {without === 1 ? 'is' : 'are'} not on the map.
				</p>
			)}
		</section>
	);
}

/** A line of the legend with the fields it is for. */
type Class = LegendEntry & { readonly key: string };

const NO_CROP = '';

function cropLegend(rows: readonly FieldRow[]): Class[] {
	const crops = cropsOf(rows);
	const looks = looksFor(crops.map(({ crop }) => crop));
	const named = crops.map(
		({ crop, fields, areaHa }): Class => ({
			key: crop,
			shade: looks.get(crop) ?? 'plain',
			text: `${crop}: ${count(fields, 'field')}, ${hectares(areaHa)} ha`,
		}),
	);
	const bare = rows.filter((row) => row.crop === undefined).length;
	return bare === 0
		? named
		: [...named, { key: NO_CROP, shade: 'quiet', text: `no crop noted: ${count(bare, 'field')}` }];
}

function differenceLegend(rows: readonly FieldRow[]): Class[] {
	const there = Map.groupBy(rows, differenceClass);
	return Object.entries(differenceLooks).flatMap(([key, { look, text }]) => {
		const fields = there.get(key as keyof typeof differenceLooks)?.length ?? 0;
		return fields === 0 ? [] : [{ key, shade: look, text: `${text}: ${count(fields, 'field')}` }];
	});
}

function shapesOf(boundaries: readonly MapShape[], rows: readonly FieldRow[], by: Colouring, legend: readonly Class[]) {
	const byId = new Map(rows.map((row) => [row.id, row]));
	const looks = new Map(legend.map(({ key, shade }) => [key, shade]));
	return boundaries.flatMap((boundary) => {
		const row = byId.get(boundary.id);
		if (!row) return [];
		const look = looks.get(by === 'crop' ? (row.crop ?? NO_CROP) : differenceClass(row)) ?? 'plain';
		const says = by === 'crop' ? (row.crop ?? 'no crop noted') : strip(row.edgeStripM);
		return [mapField(boundary, `${hectares(row.loadForHa)} ha to load for · ${says}`, look)];
	});
}
