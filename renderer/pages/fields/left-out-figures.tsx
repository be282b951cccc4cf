import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { Facts } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import type { ShownProblem } from '../../problem.ts';
import { useUnits } from '../../units.ts';

/** What of the field a strip or an obstacle takes up, before it is saved. */
export function LeftOutFigures(props: {
	readonly field: FieldDetail['field'];
	readonly taken: { readonly areaHa: number } | null | undefined;
	readonly problem: ShownProblem | null | undefined;
	/** Said while there is nothing to show. */
	readonly waiting: string;
}) {
	const { area, figure, name, units } = useUnits();
	const { field, taken, problem } = props;
	if (problem) return <ProblemNotice problem={problem} />;
	if (!taken) return <p className="quiet">{props.waiting}</p>;
	const { areaHa } = taken;
	const leftHa = field.loadForBasis === 'boundary' && field.loadForHa !== null ? field.loadForHa - areaHa : null;
	return (
		<>
			<div aria-live="polite">
				<span className="big-figure ground">
					{figure(areaHa * 10_000, 'm²')}
					<small>{name('m²')}</small>
				</span>
			</div>
			{areaHa === 0 && <p>Nothing of it lies inside the boundary on ground that is sprayed.</p>}
			<Facts
				items={[
					[units === 'metric' ? 'in hectares' : 'in acres', area(areaHa)],
					leftHa !== null && ['left to load for', area(leftHa)],
				]}
			/>
		</>
	);
}
