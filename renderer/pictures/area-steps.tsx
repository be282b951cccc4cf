import { useId } from 'react';
import { figure } from '../format.ts';
import { type Units, useUnits } from '../units.ts';
import { fitText, textWidth } from './lettering.ts';
import { usePictureWidth } from './use-width.ts';

/** One line of the way from one area to the other, in hectares. */
export type AreaStep = {
	readonly key: string;
	readonly label: string;
	readonly kind: 'total' | 'step';
	readonly of?: 'mapped' | 'measured' | 'load';
	readonly from: number;
	readonly to: number;
	/** A quiet line under the label. */
	readonly note?: string;
	readonly tone?: 'quiet' | 'look' | 'left out';
	/** How far this step may go either way and still be measuring. */
	readonly toleranceHa?: number;
};

const STEP = 40;
const BAR = 22;
const TOP = 4;
const FOOT = 24;
const M2_PER_HECTARE = 10_000;
/** Room left of the smallest figure, as a share of the span of all. */
const LEAD = 0.45;

/** How one area becomes the other, a line for each cause; bars begin at a break where the whole field would not fit. */
export function AreaSteps(props: { readonly steps: readonly AreaStep[]; readonly width?: number }) {
	const id = useId();
	const units = useUnits();
	const { ref, width } = usePictureWidth(props.width, 640);
	const { steps } = props;
	const values = steps.map((step) => valueText(step, units));
	const widest = Math.max(...values.map((text) => textWidth(text, 14, true)));
	const labelRoom = Math.min(210, width * 0.36);
	const left = labelRoom + 14;
	const scale = scaleOf(steps, left, width - widest - 14);
	const height = TOP + steps.length * STEP;
	return (
		<div ref={ref}>
			<svg
				className="picture"
				viewBox={`0 0 ${width} ${height + FOOT}`}
				role="img"
				aria-label={described(steps, units)}
			>
				<defs>
					<pattern id={`${id}-out`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
						<rect width="7" height="7" fill="var(--loam-tint)" />
						<path d="M0 0v7" stroke="var(--loam)" strokeWidth="2" />
					</pattern>
					<pattern id={`${id}-look`} width="6" height="6" patternUnits="userSpaceOnUse">
						<rect width="6" height="6" fill="var(--straw-tint)" />
						<path d="M0 1.5h6M0 4.5h6" stroke="var(--straw)" strokeWidth="1.4" />
					</pattern>
				</defs>
				{steps.map((step, index) => (
					<Line
						key={step.key}
						step={step}
						next={steps[index + 1]}
						y={TOP + index * STEP}
						left={left}
						labelRoom={labelRoom}
						value={values[index] ?? ''}
						valueX={width}
						scale={scale}
						id={id}
					/>
				))}
				<Ruler
					scale={scale}
					left={left}
					y={height + 4}
					tolerance={steps.some((step) => step.toleranceHa !== undefined)}
				/>
			</svg>
		</div>
	);
}

type Scale = {
	readonly x: (areaHa: number) => number;
	readonly broken: boolean;
	/** About so much of it is to be drawn beside the bars. */
	readonly nearHa: number;
	readonly px: number;
};

function scaleOf(steps: readonly AreaStep[], left: number, right: number): Scale {
	const ends = steps.flatMap(({ from, to, toleranceHa = 0 }) => [from, to, from - toleranceHa, from + toleranceHa]);
	const high = Math.max(...ends);
	const low = Math.max(0, Math.min(...ends));
	const span = Math.max(high - low, high * 0.002, 1e-6);
	const start = low - LEAD * span;
	const broken = start > 0;
	const from = broken ? start : 0;
	const px = (right - left) / (high - from || 1);
	return { x: (areaHa) => left + Math.max(0, areaHa - from) * px, broken, nearHa: 110 / px, px };
}

/** A round area near the one asked for: 1, 2 or 5 of a power of ten. */
function rulerUnit(areaHa: number): number {
	const power = 10 ** Math.floor(Math.log10(areaHa));
	return ([5, 2, 1].find((times) => times * power <= areaHa) ?? 1) * power;
}

function Line(props: {
	readonly step: AreaStep;
	readonly next: AreaStep | undefined;
	readonly y: number;
	readonly left: number;
	readonly labelRoom: number;
	readonly value: string;
	readonly valueX: number;
	readonly scale: Scale;
	readonly id: string;
}) {
	const units = useUnits();
	const { step, y, left, scale } = props;
	const middle = y + STEP / 2;
	const top = middle - BAR / 2;
	const total = step.kind === 'total';
	const from = total ? left : Math.min(scale.x(step.from), scale.x(step.to));
	const to = total ? scale.x(step.to) : Math.max(scale.x(step.from), scale.x(step.to));
	return (
		<g>
			<text x="0" y={step.note ? middle - 2 : middle + 5} fontSize="14" fontWeight={total ? 700 : 400}>
				{fitText(step.label, 14, props.labelRoom, total)}
			</text>
			{step.note && (
				<text className="t" x="0" y={middle + 13} fontSize="12.5">
					{fitText(units.say(step.note), 12.5, props.labelRoom)}
				</text>
			)}
			<rect
				x={from}
				y={top}
				width={Math.max(1.5, to - from)}
				height={BAR}
				fill={fillOf(step, props.id)}
				stroke={strokeOf(step)}
				strokeWidth="1.4"
			/>
			{total && scale.broken && (
				<path
					d={`M${left + 8} ${top - 2}l-5 ${BAR / 2 + 2}h8l-5 ${BAR / 2 + 2}`}
					fill="none"
					stroke="var(--paper)"
					strokeWidth="3.5"
				/>
			)}
			{step.toleranceHa !== undefined && <Tolerance step={step} middle={middle} scale={scale} />}
			{props.next && (
				<path d={`M${scale.x(step.to)} ${top + BAR}v${STEP - BAR}`} stroke="var(--rule-strong)" strokeDasharray="3 3" />
			)}
			<text x={props.valueX} y={middle + 5} fontSize="14" textAnchor="end" fontWeight={total ? 700 : 400}>
				{props.value}
			</text>
		</g>
	);
}

/** A bracket over what two measurements of one field may lie apart. */
function Tolerance({
	step,
	middle,
	scale,
}: {
	readonly step: AreaStep;
	readonly middle: number;
	readonly scale: Scale;
}) {
	const [low, high] = [scale.x(step.from - (step.toleranceHa ?? 0)), scale.x(step.from + (step.toleranceHa ?? 0))];
	const y = middle + BAR / 2 + 4;
	return <path d={`M${low} ${y - 5}v5H${high}v-5`} fill="none" stroke="var(--ink)" strokeWidth="1.4" />;
}

/** How long a round area is in this picture, as the bars don't begin at nothing; and what the bracket means. */
function Ruler(props: {
	readonly scale: Scale;
	readonly left: number;
	readonly y: number;
	readonly tolerance: boolean;
}) {
	const { scale, left, y } = props;
	const units = useUnits();
	const { length, text } = rulerOf(scale, units);
	const next = left + length + 8 + textWidth(text, 12.5) + 28;
	return (
		<g>
			<path d={`M${left} ${y}v6h${length}v-6`} fill="none" stroke="var(--quiet)" />
			<text className="t" x={left + length + 8} y={y + 9} fontSize="12.5">
				{text}
			</text>
			{props.tolerance && (
				<>
					<path d={`M${next} ${y + 2}v5h26v-5`} fill="none" stroke="var(--ink)" strokeWidth="1.4" />
					<text className="t" x={next + 34} y={y + 9} fontSize="12.5">
						measuring tolerance
					</text>
				</>
			)}
		</g>
	);
}

/** A round area in the units of the farm, as long as it is in this picture. */
function rulerOf({ nearHa, px }: Scale, { value, name }: Units): { readonly length: number; readonly text: string } {
	const near = value(nearHa, 'ha');
	const [whole, unit] =
		near < 0.01 ? [rulerUnit(value(nearHa * M2_PER_HECTARE, 'm²')), name('m²')] : [rulerUnit(near), name('ha')];
	const areaHa = (nearHa * whole) / (near < 0.01 ? value(nearHa * M2_PER_HECTARE, 'm²') : near);
	return {
		length: areaHa * px,
		text: `${figure(whole, Math.max(0, -Math.floor(Math.log10(whole) + 1e-9)))} ${unit}`,
	};
}

function fillOf(step: AreaStep, id: string): string {
	if (step.of === 'mapped') return 'var(--sheet)';
	if (step.of === 'measured') return 'var(--loam-tint)';
	if (step.of === 'load') return 'var(--loam)';
	if (step.tone === 'left out') return `url(#${id}-out)`;
	return step.tone === 'look' ? `url(#${id}-look)` : 'var(--rule)';
}

function strokeOf(step: AreaStep): string {
	if (step.of === 'mapped') return 'var(--ink)';
	if (step.of || step.tone === 'left out') return 'var(--loam)';
	return step.tone === 'look' ? 'var(--straw)' : 'var(--edge)';
}

/** Below this a step reads in m²: two roundings to the are would already show. */
const SMALL_HA = 0.1;

/** Totals in hectares, steps with their sign; small ones in m², so that they add up to the difference that is shown. */
function valueText({ kind, from, to }: AreaStep, { area, signed, name }: Units): string {
	if (kind === 'total') return area(to);
	const areaHa = to - from;
	return Math.abs(areaHa) >= SMALL_HA
		? `${signed(areaHa, 'ha', 2)} ${name('ha')}`
		: `${signed(areaHa * M2_PER_HECTARE, 'm²', 0)} ${name('m²')}`;
}

function described(steps: readonly AreaStep[], units: Units): string {
	const said = steps.map((step) => {
		const tolerance = step.toleranceHa === undefined ? '' : `, measuring tolerance ${units.area(step.toleranceHa)}`;
		return `${step.label}${step.note ? `, ${units.say(step.note)}` : ''}: ${valueText(step, units)}${tolerance}.`;
	});
	return `From one area to the other. ${said.join(' ')}`;
}
