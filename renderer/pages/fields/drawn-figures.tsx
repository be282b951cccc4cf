import { useDebouncedValue } from '@mantine/hooks';
import { figure } from '../../format.ts';
import type { boundaryOf } from '../../map/outline.ts';
import { Facts } from '../../parts/page.tsx';
import { ProblemNotice, WarningList } from '../../parts/problem-notice.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

type Boundary = NonNullable<ReturnType<typeof boundaryOf>>;

/** What a boundary that is being drawn measures, as it changes under the hand, and whose ground it covers too. */
export function DrawnFigures(props: {
	readonly boundary: Boundary | null;
	readonly fieldId?: string;
	/** The measured area in force. */
	readonly beforeHa: number | null;
}) {
	const units = useUnits();
	const { hectares, signed, name } = units;
	const [boundary] = useDebouncedValue(props.boundary, 120);
	const text = JSON.stringify(boundary);
	const geometry = boundary ?? { type: 'Polygon' as const, coordinates: [] };
	const asked = { enabled: boundary !== null, keepPrevious: true };
	const measured = useProcedure(['measure', text], (api) => api.fields.measure({ geometry }), asked);
	const over = useProcedure(
		['shared ground', props.fieldId ?? '', text],
		(api) => api.fields.sharedGround({ geometry, ...(props.fieldId ? { id: props.fieldId } : {}) }),
		asked,
	);
	if (boundary === null) return <p className="quiet">The area stands here once the boundary is closed.</p>;
	if (measured.problem) return <ProblemNotice problem={measured.problem} />;
	if (!measured.answer) return <p className="quiet">Measuring …</p>;
	const { areaHa, areaSigmaHa, perimeterM, vertexCount, warnings } = measured.answer;
	return (
		<>
			<div aria-live="polite">
				<span className="big-figure ground">
					{hectares(areaHa)}
					<small>{name('ha')}</small>
				</span>
			</div>
			<Facts
				items={[
					['give or take', units.area(areaSigmaHa)],
					props.beforeHa !== null && ['against before', `${signed(areaHa - props.beforeHa, 'ha', 2)} ${name('ha')}`],
					['round', `${units.figure(perimeterM, 'm')} ${name('m')}`],
					['points', figure(vertexCount)],
				]}
			/>
			<WarningList warnings={warnings ?? []} />
			{over.answer && over.answer.length > 0 && (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<p>It covers {over.answer.map((one) => `${groundText(one.m2, units)} of ${one.name}`).join(', ')}.</p>
				</div>
			)}
		</>
	);
}

/** Below a tenth of a hectare in m². */
function groundText(m2: number, units: Units): string {
	return m2 < 1000 ? `${units.figure(m2, 'm²')} ${units.name('m²')}` : units.area(m2 / 10_000);
}
