import { Button, Checkbox, TextInput } from '@mantine/core';
import { useMemo, useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { today } from '../../format.ts';
import { BoundaryEditor } from '../../map/lazy-boundary-editor.tsx';
import { boundaryOf, type LonLat } from '../../map/outline.ts';
import { useKeptDrawing } from '../../map/use-kept-drawing.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { DrawnBefore } from './drawn-before.tsx';
import { DrawnFigures } from './drawn-figures.tsx';
import './fields.css';

/** Draws the boundary of a field that has none yet, or of a new one; or mends one that is there. */
export function DrawPage({ id }: { readonly id?: string }) {
	const field = useProcedure(['fields', id ?? ''], (api) => api.fields.get({ id: id ?? '' }), {
		enabled: id !== undefined,
	});
	const title = id === undefined ? 'Draw a field' : `Boundary of ${field.answer?.field.name ?? 'the field'}`;
	return (
		<Page title={title} columns="two-left">
			{id === undefined ? (
				<Drawing title={title} detail={null} />
			) : (
				<Answered asked={field}>
					{(detail) => <Drawing key={detail.field.version} title={title} detail={detail} />}
				</Answered>
			)}
		</Page>
	);
}

function Drawing({ title, detail }: { readonly title: string; readonly detail: FieldDetail | null }) {
	const [, go] = useLocation();
	const drawing = useKeptDrawing(
		detail ? `${detail.field.id} ${detail.field.version}` : 'new field',
		detail?.geometry ?? null,
	);
	const { draft, step } = drawing;
	const [moving, setMoving] = useState<ReturnType<typeof boundaryOf>>(null);
	const [snap, setSnap] = useState(true);
	const [name, setName] = useState('');
	const [source, setSource] = useState('drawn on the map');
	const [on, setOn] = useState<string | null>(today());
	const centre = useRef<(() => LonLat) | null>(null);
	const boundaries = useProcedure(['field boundaries'], (api) => api.fields.boundaries({}));
	const own = detail?.field.id;
	const neighbours = useMemo(() => (boundaries.answer ?? []).filter(({ id }) => id !== own), [boundaries.answer, own]);
	const boundary = useMemo(() => boundaryOf(draft.outline), [draft.outline]);
	const ready = boundary !== null && draft.open === null;
	const save = useCommand(
		async (api, geometry: NonNullable<typeof boundary>, key) => {
			if (!detail) return { id: (await api.fields.add({ key, name, geometry })).id, warnings: [] };
			const { id, version } = detail.field;
			const dated = on === null ? {} : { on };
			const { warnings } = await api.fields.setBoundary({ key, id, version, geometry, source, ...dated });
			return { id, warnings };
		},
		({ id, warnings }) => {
			drawing.forget();
			go(`/fields/${id}`, { state: { carried: warnings } });
		},
	);
	const back = detail ? `/fields/${detail.field.id}` : '/fields';
	const leave = () => {
		drawing.forget();
		go(back);
	};
	const stripsLaid = detail?.strips.filter(({ geometry }) => geometry !== null).length ?? 0;

	return (
		<>
			<section>
				<p className="quiet small">
					<Link href={back}>{detail ? detail.field.name : 'Fields'}</Link>
				</p>
				<PageHead title={title} />
				<EntryForm
					command={save}
					onSubmit={() => boundary && ready && save.run(boundary)}
					foot={
						<>
							<Button variant="default" onClick={leave}>
								Leave it
							</Button>
							<Button
								type="submit"
								loading={save.busy}
								disabled={!ready || (detail !== null && draft.past.length === 0)}
							>
								{detail ? 'Put it in force' : 'Add the field'}
							</Button>
						</>
					}
				>
					{drawing.found && <DrawnBefore onBeginAnew={drawing.beginAnew} />}
					<DrawnFigures
						boundary={moving ?? boundary}
						{...(own ? { fieldId: own } : {})}
						beforeHa={detail?.field.measuredHa ?? null}
					/>
					<div className="row">
						<Button variant="default" disabled={draft.past.length === 0} onClick={() => step({ do: 'undo' })}>
							Undo
						</Button>
						{draft.open ? (
							<>
								<Button
									variant="default"
									onClick={() => centre.current && step({ do: 'add', point: centre.current() })}
								>
									Point at the cross
								</Button>
								<Button variant="default" disabled={draft.open.length < 3} onClick={() => step({ do: 'close' })}>
									Close it
								</Button>
							</>
						) : (
							<Button variant="default" onClick={() => step({ do: 'draw part' })}>
								Draw another part
							</Button>
						)}
					</div>
					<Checkbox
						label="Take corners and edges of neighbours"
						checked={snap}
						onChange={(event) => setSnap(event.currentTarget.checked)}
					/>
					<p className="quiet small">
						{draft.open
							? 'Press the map point by point; the first point, pressed again, closes the boundary. With the Alt key held, a point stays where it was pressed.'
							: 'Drag a point, or walk to it with the Tab key: arrows move it by half a metre (Shift: 5 m), Insert adds one after it, Delete takes it out.'}
					</p>
					{detail ? (
						<>
							<TextInput
								label="Source"
								required
								maxLength={200}
								value={source}
								onChange={(event) => setSource(event.currentTarget.value)}
							/>
							<DateInput label="Taken on" value={on} onChange={setOn} />
						</>
					) : (
						<TextInput
							label="Name"
							required
							maxLength={200}
							value={name}
							onChange={(event) => setName(event.currentTarget.value)}
						/>
					)}
					{stripsLaid > 0 && (
						<p className="small">
							Strips follow their side, obstacles keep their place; one that ends up outside is taken off. The field’s
							page says what became of each.
						</p>
					)}
				</EntryForm>
			</section>
			<section>
				<BoundaryEditor
					draft={draft}
					onStep={step}
					onMoving={setMoving}
					neighbours={neighbours}
					snap={snap}
					height="calc(100vh - 150px)"
					onReady={(find) => {
						centre.current = find;
					}}
				/>
			</section>
		</>
	);
}
