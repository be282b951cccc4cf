import { Button, SegmentedControl, TextInput } from '@mantine/core';
import { useMemo, useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { BoundaryEditor } from '../../map/lazy-boundary-editor.tsx';
import { boundaryOf, type DraftStep, type LonLat, roundAt } from '../../map/outline.ts';
import { useKeptDrawing } from '../../map/use-kept-drawing.ts';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { DrawnBefore } from './drawn-before.tsx';
import './fields.css';
import { ObstacleFigures } from './obstacle-figures.tsx';

/** Draws ponds, masts and trees on a field: their ground is measured and not loaded for. */
export function ObstaclePage({ id }: { readonly id: string }) {
	const field = useProcedure(['fields', id], (api) => api.fields.get({ id }));
	return (
		<Page title={`Obstacle in ${field.answer?.field.name ?? 'a field'}`} columns="two-left">
			<Answered asked={field}>{(detail) => <Obstacle detail={detail} />}</Answered>
		</Page>
	);
}

type Way = 'points' | 'round';

function Obstacle({ detail }: { readonly detail: FieldDetail }) {
	const [, go] = useLocation();
	const { field, geometry } = detail;
	const back = `/fields/${field.id}`;
	const drawing = useKeptDrawing(`obstacle ${field.id}`, null);
	const { draft, step } = drawing;
	const [moving, setMoving] = useState<ReturnType<typeof boundaryOf>>(null);
	const [way, setWay] = useState<Way>('points');
	const [widthM, setWidthM] = useState<number | null>(6);
	const [label, setLabel] = useState('');
	const centre = useRef<(() => LonLat) | null>(null);
	const around = useMemo(() => {
		const laid = detail.strips.flatMap(({ id, label: name, geometry: ground }) =>
			ground ? [{ id, name, geometry: ground }] : [],
		);
		return geometry ? [{ id: field.id, name: field.name, geometry }, ...laid] : laid;
	}, [detail.strips, field, geometry]);
	const boundary = useMemo(() => boundaryOf(draft.outline), [draft.outline]);
	const ready = boundary !== null && !draft.open?.length;
	const save = useCommand(
		(api, shape: NonNullable<typeof boundary>, key) =>
			api.fields.addStrip({ key, id: field.id, kind: 'obstacle', label, geometry: shape }),
		() => leave(),
	);

	function leave(): void {
		drawing.forget();
		go(back);
	}

	/** A press sets the next point, or in a round way the whole obstacle. */
	function draw(next: DraftStep): void {
		if (next.do !== 'add' || way === 'points') step(next);
		else if (widthM !== null && widthM > 0) step({ do: 'ring', points: roundAt(next.point, widthM) });
	}

	function choose(next: Way): void {
		setWay(next);
		if (draft.open === null) step({ do: 'draw part' });
	}

	return (
		<>
			<section>
				<p className="quiet small">
					<Link href={back}>{field.name}</Link>
				</p>
				<PageHead title={`Obstacle in ${field.name}`} />
				<EntryForm
					command={save}
					onSubmit={() => boundary && ready && save.run(boundary)}
					foot={
						<>
							<Button variant="default" onClick={leave}>
								Leave it
							</Button>
							<Button type="submit" loading={save.busy} disabled={!ready}>
								Note it as not sprayed
							</Button>
						</>
					}
				>
					{drawing.found && <DrawnBefore onBeginAnew={drawing.beginAnew} />}
					<ObstacleFigures detail={detail} shape={moving ?? boundary} />
					<SegmentedControl<Way>
						aria-label="How it is drawn"
						value={way}
						onChange={choose}
						data={[
							{ value: 'points', label: 'Point by point' },
							{ value: 'round', label: 'Round, by its width' },
						]}
					/>
					{way === 'round' && (
						<QuantityInput label="Width" unit="m" required min={0.5} max={200} value={widthM} onChange={setWidthM} />
					)}
					<div className="row">
						<Button variant="default" disabled={draft.past.length === 0} onClick={() => step({ do: 'undo' })}>
							Undo
						</Button>
						{draft.open ? (
							<Button variant="default" onClick={() => centre.current && draw({ do: 'add', point: centre.current() })}>
								{way === 'round' ? 'Set it at the cross' : 'Point at the cross'}
							</Button>
						) : (
							<Button variant="default" onClick={() => step({ do: 'draw part' })}>
								Draw another
							</Button>
						)}
						{draft.open && way === 'points' && (
							<Button variant="default" disabled={draft.open.length < 3} onClick={() => step({ do: 'close' })}>
								Close it
							</Button>
						)}
					</div>
					<p className="quiet small">{help(way, draft.open !== null)}</p>
					<TextInput
						label="Name"
						description="For example: pond, pylons, oak"
						required
						maxLength={200}
						value={label}
						onChange={(event) => setLabel(event.currentTarget.value)}
					/>
				</EntryForm>
			</section>
			<section>
				<BoundaryEditor
					draft={draft}
					onStep={draw}
					onMoving={setMoving}
					neighbours={around}
					snap={false}
					height="calc(100vh - 150px)"
					onReady={(find) => {
						centre.current = find;
					}}
				/>
			</section>
		</>
	);
}

function help(way: Way, drawing: boolean): string {
	if (!drawing) return 'Drag a point, or walk to it with the Tab key and move it with the arrow keys.';
	return way === 'round'
		? 'Press the map where the middle is. Several of one kind may be noted together.'
		: 'Press the map point by point; the first point, pressed again, closes the outline.';
}
