import { useDebouncedValue } from '@mantine/hooks';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { boundaryOf } from '../../map/outline.ts';
import { useProcedure } from '../../use-procedure.ts';
import { LeftOutFigures } from './left-out-figures.tsx';

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
	return <LeftOutFigures field={field} taken={taken.answer} problem={taken.problem} waiting="Measuring …" />;
}
