import { Button } from '@mantine/core';
import { useEffect, useMemo, useReducer, useRef } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { LooseBoundary } from '../../map/boundary.ts';
import { BoundaryEditor } from '../../map/lazy-boundary-editor.tsx';
import { boundaryOf, type LonLat, nextDraft, startDraft } from '../../map/outline.ts';
import { Answered } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

/** What of a line of ground is changed; undefined takes a mark off. */
export type WashingsPlace = {
	readonly areaHa?: number | null;
	readonly over?: 'sprayed ground' | 'unsprayed ground';
	readonly onJobId?: string | undefined;
	readonly ground?: LooseBoundary | undefined;
};

type Props = {
	readonly fieldId: string;
	readonly ground: LooseBoundary | undefined;
	readonly onChange: (part: WashingsPlace) => void;
	readonly onClose: () => void;
};

/** The part of a field where washings lie, drawn on the map beside the strips they must keep off. */
export function WashingsPart(props: Props) {
	const field = useProcedure(['fields', props.fieldId], (api) => api.fields.get({ id: props.fieldId }));
	return <Answered asked={field}>{(detail) => <Drawing detail={detail} {...props} />}</Answered>;
}

function Drawing({ detail, ground, onChange, onClose }: Props & { readonly detail: FieldDetail }) {
	const farmUnits = useUnits();
	const { field, strips, geometry } = detail;
	const [draft, step] = useReducer(nextDraft, ground ?? null, startDraft);
	const centre = useRef<(() => LonLat) | null>(null);
	const around = useMemo(() => {
		const laid = strips.flatMap(({ id, label, geometry: shape }) =>
			shape ? [{ id, name: label, geometry: shape }] : [],
		);
		return geometry ? [{ id: field.id, name: field.name, geometry }, ...laid] : laid;
	}, [field, strips, geometry]);
	const drawn = useMemo(() => boundaryOf(draft.outline), [draft.outline]);
	const asked = useProcedure(
		['measure', drawn],
		(api) => api.fields.measure({ geometry: drawn ?? { type: 'Polygon', coordinates: [] } }),
		{ enabled: drawn !== null },
	);
	const areaHa = asked.answer?.areaHa;
	const told = useRef<LooseBoundary | null>(ground ?? null);
	const change = useRef(onChange);
	change.current = onChange;
	useEffect(() => {
		if (drawn === null || areaHa === undefined || told.current === drawn) return;
		told.current = drawn;
		change.current({ ground: drawn, areaHa: Math.max(0.0001, Number(areaHa.toFixed(4))) });
	}, [drawn, areaHa]);
	return (
		<div className="stack tight">
			<p className="quiet small">
				{draft.open
					? 'Press the map point by point round the ground they went on; the first point, pressed again, closes it.'
					: 'Drag a point to change it. Keep off the strips that are named.'}
			</p>
			<BoundaryEditor
				draft={draft}
				onStep={step}
				onMoving={() => {}}
				neighbours={around}
				snap
				height="320px"
				onReady={(find) => {
					centre.current = find;
				}}
			/>
			<ProblemNotice problem={drawn === null ? undefined : asked.problem} />
			<div className="row">
				<Button variant="default" size="xs" disabled={draft.past.length === 0} onClick={() => step({ do: 'undo' })}>
					Undo
				</Button>
				{draft.open && (
					<>
						<Button
							variant="default"
							size="xs"
							onClick={() => centre.current && step({ do: 'add', point: centre.current() })}
						>
							Point at the cross
						</Button>
						<Button variant="default" size="xs" disabled={draft.open.length < 3} onClick={() => step({ do: 'close' })}>
							Close it
						</Button>
					</>
				)}
				<Button
					variant="subtle"
					size="xs"
					onClick={() => {
						onChange({ ground: undefined });
						onClose();
					}}
				>
					Leave it undrawn
				</Button>
				<Button size="xs" variant="default" onClick={onClose}>
					{areaHa === undefined || draft.open ? 'Close the map' : `Take these ${farmUnits.area(areaHa)}`}
				</Button>
			</div>
		</div>
	);
}
