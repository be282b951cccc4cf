import { Button, TextInput } from '@mantine/core';
import { useMemo, useReducer, useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { BoundaryEditor } from '../../map/lazy-boundary-editor.tsx';
import { type LonLat, nextDraft, startDraft } from '../../map/outline.ts';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { untilClosed } from './field-ground.tsx';
import './fields.css';

/** Cuts a field along a line into fields of their own. */
export function SplitPage({ id }: { readonly id: string }) {
	const field = useProcedure(['fields', id], (api) => api.fields.get({ id }));
	return (
		<Page title={`Split ${field.answer?.field.name ?? 'a field'}`} columns="two-left">
			<Answered asked={field}>
				{(detail) =>
					detail.openJob === null ? <Cut detail={detail} /> : <NotNow detail={detail} job={detail.openJob} />
				}
			</Answered>
		</Page>
	);
}

function NotNow({ detail, job }: { readonly detail: FieldDetail; readonly job: string }) {
	return (
		<section>
			<p className="quiet small">
				<Link href={`/fields/${detail.field.id}`}>{detail.field.name}</Link>
			</p>
			<PageHead title={`Split ${detail.field.name}`} />
			<p>{untilClosed(job)}</p>
		</section>
	);
}

function Cut({ detail }: { readonly detail: FieldDetail }) {
	const { area } = useUnits();
	const [, go] = useLocation();
	const { field, geometry } = detail;
	const [draft, step] = useReducer(nextDraft, geometry, (whole) => ({ ...startDraft(whole), open: [] }));
	const [names, setNames] = useState<Readonly<Record<number, string>>>({});
	const centre = useRef<(() => LonLat) | null>(null);
	const line = draft.open ?? [];
	const cut = useProcedure(
		['cut', field.id, field.version, line],
		(api) =>
			api.fields.cut({
				geometry: geometry ?? { type: 'Polygon', coordinates: [] },
				line: line.map((point) => [...point]),
			}),
		{ enabled: geometry !== null && line.length > 1 },
	);
	const nameOf = (index: number) => names[index] ?? `${field.name} ${index + 1}`;
	const parts = useMemo(
		() =>
			(cut.answer ?? []).map((part, index) => ({
				id: String(index),
				name: String(index + 1),
				geometry: part.geometry,
			})),
		[cut.answer],
	);
	const split = useCommand(
		(api, pieces: NonNullable<typeof cut.answer>, key) =>
			api.fields.split({
				key,
				id: field.id,
				version: field.version,
				parts: pieces.map((piece, index) => ({ name: nameOf(index), geometry: piece.geometry })),
			}),
		({ warnings }) => go(`/fields/${field.id}`, { state: { carried: warnings } }),
	);
	const none: readonly never[] = useMemo(() => [], []);
	return (
		<>
			<section>
				<p className="quiet small">
					<Link href={`/fields/${field.id}`}>{field.name}</Link>
				</p>
				<PageHead title={`Split ${field.name}`} />
				<EntryForm
					command={split}
					onSubmit={() => cut.answer && split.run(cut.answer)}
					foot={
						<>
							<Button variant="default" onClick={() => go(`/fields/${field.id}`)}>
								Leave it
							</Button>
							<Button type="submit" loading={split.busy} disabled={!cut.answer}>
								Split the field
							</Button>
						</>
					}
				>
					<p>
						Lay a line right across the field: begin outside the boundary, press point by point, and end outside it on
						the other side.
					</p>
					<div className="row">
						<Button variant="default" disabled={draft.past.length === 0} onClick={() => step({ do: 'undo' })}>
							Undo
						</Button>
						<Button variant="default" onClick={() => centre.current && step({ do: 'add', point: centre.current() })}>
							Point at the cross
						</Button>
					</div>
					{line.length > 1 && <ProblemNotice problem={cut.problem} />}
					{cut.answer?.map((part, index) => (
						<TextInput
							// biome-ignore lint/suspicious/noArrayIndexKey: a part has no other name than its place
							key={index}
							label={`Part ${index + 1}: ${area(part.areaHa)}`}
							required
							maxLength={200}
							value={nameOf(index)}
							onChange={(event) => setNames({ ...names, [index]: event.currentTarget.value })}
						/>
					))}
					<p className="quiet small">
						{field.name} leaves the register. Its records stay, and limits count them on each part.
					</p>
				</EntryForm>
			</section>
			<section>
				<BoundaryEditor
					draft={draft}
					onStep={step}
					onMoving={() => {}}
					neighbours={none}
					parts={parts}
					cuts
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
