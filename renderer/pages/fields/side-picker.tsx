import { Checkbox } from '@mantine/core';
import { figure } from '../../format.ts';
import type { Side } from './sides.ts';

const SIZE = 300;
const EDGE = 26;

/** The outline of a field with its sides lettered; a strip runs along those that are ticked. */
export function SidePicker(props: {
	readonly sides: readonly Side[];
	readonly chosen: ReadonlySet<string>;
	readonly onChange: (chosen: ReadonlySet<string>) => void;
}) {
	const { sides, chosen } = props;
	function toggle(letter: string): void {
		const next = new Set(chosen);
		if (!next.delete(letter)) next.add(letter);
		props.onChange(next);
	}
	return (
		<div className="side-picker">
			<Outline sides={sides} chosen={chosen} onToggle={toggle} />
			<fieldset className="group side-list">
				<legend className="entry-label">Along which sides</legend>
				{sides.map((side) => (
					<Checkbox
						key={side.letter}
						my={8}
						checked={chosen.has(side.letter)}
						onChange={() => toggle(side.letter)}
						label={`${side.letter} · ${figure(side.lengthM)} m ${side.hole ? 'round an island' : `on the ${side.faces}`}`}
					/>
				))}
			</fieldset>
		</div>
	);
}

function Outline(props: {
	readonly sides: readonly Side[];
	readonly chosen: ReadonlySet<string>;
	readonly onToggle: (letter: string) => void;
}) {
	const points = props.sides.flatMap((side) => side.line);
	const xs = points.map((point) => point[0]);
	const ys = points.map((point) => point[1]);
	const left = Math.min(...xs);
	const top = Math.max(...ys);
	const scale = (SIZE - 2 * EDGE) / Math.max(Math.max(...xs) - left, top - Math.min(...ys), 1);
	const x = (value: number) => EDGE + (value - left) * scale;
	const y = (value: number) => EDGE + (top - value) * scale;
	const height = Math.max(120, y(Math.min(...ys)) + EDGE);
	return (
		<svg
			className="picture"
			viewBox={`0 0 ${SIZE} ${height}`}
			role="img"
			aria-label="Outline of the field with lettered sides"
		>
			{props.sides.map((side) => {
				const line = side.line.map((point) => `${x(point[0]).toFixed(1)},${y(point[1]).toFixed(1)}`).join(' ');
				const middle = side.line[Math.floor(side.line.length / 2)] ?? [0, 0];
				const start = side.line[Math.floor((side.line.length - 1) / 2)] ?? middle;
				const on = props.chosen.has(side.letter);
				return (
					// biome-ignore lint/a11y/noStaticElementInteractions: a second way for the pointer
					<g key={side.letter} onClick={() => props.onToggle(side.letter)} style={{ cursor: 'pointer' }}>
						<polyline points={line} fill="none" stroke="transparent" strokeWidth="18" />
						<polyline
							points={line}
							fill="none"
							stroke={on ? 'var(--straw)' : 'var(--loam)'}
							strokeWidth={on ? 7 : 2}
							strokeLinejoin="round"
						/>
						<text
							x={x((middle[0] + start[0]) / 2)}
							y={y((middle[1] + start[1]) / 2) + 5}
							fontSize="15"
							fontWeight="700"
							textAnchor="middle"
							stroke="var(--sheet)"
							strokeWidth="5"
							paintOrder="stroke"
						>
							{side.letter}
						</text>
					</g>
				);
			})}
		</svg>
	);
}
