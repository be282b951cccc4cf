import { useDebouncedValue } from '@mantine/hooks';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { figure, hectares } from '../../format.ts';
import type { boundaryOf } from '../../map/outline.ts';
import { Facts } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useProcedure } from '../../use-procedure.ts';

/** What of the field a drawn obstacle takes up, as it changes under the hand. */
export function ObstacleFigures(props: {
	readonly detail: FieldDetail;
	readonly shape: ReturnType<typeof boundaryOf>;
}) {
	const { field, geometry, strips } = props.detail;
	const [shape] = useDebouncedValue(props.shape, 120);
	const none = { type: 'Polygon' as const, coordinates: [] };
	const taken = useProcedure(
		['obstacle', field.id, field.version, JSON.stringify(shape)],
		(api) =>
			api.fields.obstacle({
				boundary: geometry ?? none,
				obstacle: shape ?? none,
				without: strips.flatMap((strip) => (strip.geometry ? [strip.geometry] : [])),
			}),
		{ enabled: geometry !== null && shape !== null, keepPrevious: true },
	);
	if (geometry === null) return <p>This field has no boundary yet: draw that first.</p>;
	if (shape === null) return <p className="quiet">Its area stands here once it is drawn.</p>;
	if (taken.problem) return <ProblemNotice problem={taken.problem} />;
	if (!taken.answer) return <p className="quiet">Measuring …</p>;
	const { areaHa } = taken.answer;
	const leftHa = field.loadForBasis === 'boundary' && field.loadForHa !== null ? field.loadForHa - areaHa : null;
	return (
		<>
			<div aria-live="polite">
				<span className="big-figure ground">
					{figure(areaHa * 10_000)}
					<small>m²</small>
				</span>
			</div>
			{areaHa === 0 && <p>Nothing of it lies inside the boundary on ground that is sprayed.</p>}
			<Facts
				items={[
					['in hectares', `${hectares(areaHa)} ha`],
					leftHa !== null && ['left to load for', `${hectares(leftHa)} ha`],
				]}
			/>
		</>
	);
}
