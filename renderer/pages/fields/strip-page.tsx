import { Button, SegmentedControl, TextInput } from '@mantine/core';
import { useMemo, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { type LooseBoundary, mapField } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { leftOutLooks } from '../../map/looks.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import './fields.css';
import { LeftOutFigures } from './left-out-figures.tsx';
import { SideList, sideWords } from './side-list.tsx';
import { edgeKey, edgesOf, pointsAlong, type Side, sidesOf } from './sides.ts';

/** Lays a no-spray strip along edges that are picked on the map; its ground is measured and not loaded for. */
export function StripPage({ id }: { readonly id: string }) {
	const field = useProcedure(['fields', id], (api) => api.fields.get({ id }));
	const { geometry } = field.answer ?? {};
	return (
		<Page title={`Strip in ${field.answer?.field.name ?? 'a field'}`} columns={geometry ? 'two-left' : 'one'}>
			<Answered asked={field}>
				{(detail) =>
					detail.geometry ? (
						<Strip detail={detail} boundary={detail.geometry} />
					) : (
						<p>
							This field has no boundary yet: <Link href={`/fields/${id}/boundary`}>draw that first</Link>.
						</p>
					)
				}
			</Answered>
		</Page>
	);
}

type Way = 'sides' | 'edges';

function Strip({ detail, boundary }: { readonly detail: FieldDetail; readonly boundary: LooseBoundary }) {
	const [, go] = useLocation();
	const { field, strips } = detail;
	const back = `/fields/${field.id}`;
	const [way, setWay] = useState<Way>('sides');
	const [widthM, setWidthM] = useState<number | null>(null);
	const [typed, setTyped] = useState<string | null>(null);
	const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
	const sides = useMemo(() => sidesOf(boundary), [boundary]);
	const single = useMemo(() => edgesOf(boundary), [boundary]);
	const runs = way === 'sides' ? sides : single;
	const edges = useMemo(
		() => single.flatMap((each) => each.edges).filter((edge) => chosen.has(edgeKey(edge))),
		[single, chosen],
	);
	const label = typed ?? usualName(widthM, sides, chosen);
	const without = useMemo(() => strips.flatMap(({ geometry }) => (geometry ? [geometry] : [])), [strips]);
	const wide = widthM ?? 0;
	const asked = wide > 0 && edges.length > 0;
	const taken = useProcedure(
		['strip', field.id, field.version, wide, edges],
		(api) =>
			api.fields.strip({
				boundary: { ...boundary, coordinates: [...boundary.coordinates] },
				edges,
				widthM: wide,
				without,
			}),
		{ enabled: asked, keepPrevious: true },
	);
	const laid = asked ? taken.answer : undefined;
	const save = useCommand(
		(api, _: null, key) =>
			api.fields.addStrip({ key, id: field.id, kind: 'strip', label, edges, ...(widthM === null ? {} : { widthM }) }),
		() => go(back),
	);
	const neighbours = useProcedure(['field boundaries'], (api) => api.fields.boundaries({}));
	const shapes = useMemo(() => {
		const part = (id: string, name: string, geometry: LooseBoundary, look: keyof typeof leftOutLooks) => ({
			...mapField({ id, name, geometry }, '', leftOutLooks[look].look),
			partOf: field.id,
		});
		return [
			...(neighbours.answer ?? []).filter(({ id }) => id !== field.id).map((each) => mapField(each, '', 'quiet')),
			mapField({ id: field.id, name: field.name, geometry: boundary }, ''),
			...strips.flatMap(({ id, label: name, geometry, kind }) => (geometry ? [part(id, name, geometry, kind)] : [])),
			...(laid?.geometry ? [part('new', label, laid.geometry, 'strip')] : []),
		];
	}, [neighbours.answer, field, boundary, strips, laid, label]);

	const picks = useMemo(
		() => ({
			runs: runs.map((run) => ({ key: run.letter, name: run.letter, line: pointsAlong(boundary, run.edges) })),
			chosen: edges.map((edge) => pointsAlong(boundary, [edge])),
			onPress: (letter: string) => setChosen((before) => toggled(before, runs, letter)),
		}),
		[runs, edges, boundary],
	);

	return (
		<>
			<section>
				<p className="quiet small">
					<Link href={back}>{field.name}</Link>
				</p>
				<PageHead title={`Strip in ${field.name}`} />
				<EntryForm
					command={save}
					onSubmit={() => save.run(null)}
					foot={
						<>
							<Button variant="default" onClick={() => go(back)}>
								Leave it
							</Button>
							<Button type="submit" loading={save.busy} disabled={!laid || laid.areaHa === 0}>
								Note it as not sprayed
							</Button>
						</>
					}
				>
					<LeftOutFigures
						field={field}
						taken={laid}
						problem={asked ? taken.problem : null}
						waiting={asked ? 'Measuring …' : 'Its area stands here once a width and an edge are chosen.'}
					/>
					<QuantityInput
						label="Width"
						unit="m"
						required
						autoFocus
						min={0.1}
						max={200}
						value={widthM}
						onChange={setWidthM}
					/>
					<SegmentedControl<Way>
						aria-label="What a press on the map takes"
						value={way}
						onChange={setWay}
						data={[
							{ value: 'sides', label: 'Whole sides' },
							{ value: 'edges', label: 'Single edges' },
						]}
					/>
					<SideList
						legend={way === 'sides' ? 'Along which sides' : 'Along which edges'}
						sides={runs}
						chosen={chosen}
						onToggle={picks.onPress}
					/>
					<TextInput
						label="Name"
						description="For example: ditch, hedge, public path"
						required
						maxLength={200}
						value={label}
						onChange={(event) => setTyped(event.currentTarget.value)}
					/>
				</EntryForm>
			</section>
			<section>
				<FieldMap
					label="Map for picking edges. The list beside it carries the same edges."
					height="calc(100vh - 150px)"
					around={field.id}
					fields={shapes}
					edges={picks}
					measures
				/>
				<p className="quiet small above-small">
					Press the edges the strip runs along. Where it ends within an edge, set a point there first: mend the
					boundary.
				</p>
			</section>
		</>
	);
}

/** A run that is chosen in part is taken whole. */
function toggled(before: ReadonlySet<string>, runs: readonly Side[], letter: string): ReadonlySet<string> {
	const keys = runs.find((run) => run.letter === letter)?.edges.map(edgeKey) ?? [];
	if (keys.every((key) => before.has(key))) return new Set([...before].filter((key) => !keys.includes(key)));
	return new Set([...before, ...keys]);
}

/** `5 m on the south and east`, until another name is typed. */
function usualName(widthM: number | null, sides: readonly Side[], chosen: ReadonlySet<string>): string {
	const along = sides.filter(({ edges }) => edges.some((edge) => chosen.has(edgeKey(edge))));
	const words = [...new Set(along.map(sideWords))];
	if (widthM === null || words.length === 0) return '';
	return `${widthM} m ${words.join(', ')}`;
}
