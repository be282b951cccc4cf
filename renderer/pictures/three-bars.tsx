import { useId } from 'react';
import { bareAmount, figure } from '../format.ts';
import { type Units, useUnits } from '../units.ts';
import { textWidth } from './lettering.ts';
import { usePictureWidth } from './use-width.ts';

/** One measure of the same product: its amount and its standard error. Null where nothing was reported. */
export type Measure = { readonly amount: number; readonly sigma?: number | null } | null;

export type ThreeBarsProps = {
	readonly name: string;
	readonly unit: 'L' | 'kg';
	/** Dose × treated area. */
	readonly ground: Measure;
	/** Poured in logged loads. */
	readonly tank: Measure;
	/** Left the store: opening + deliveries − closing count. */
	readonly store: Measure;
	/** Draws the bracket between two measures, where the difference is more than measuring explains. */
	readonly gap?: { readonly between: 'ground-tank' | 'tank-store'; readonly amount: number } | null;
	readonly width?: number;
};

const bars = [
	['ground', 'Ground', 'var(--loam)', 'var(--loam-tint)'],
	['tank', 'Tank', 'var(--water)', 'var(--water-tint)'],
	['store', 'Store', 'var(--damson)', 'var(--damson-tint)'],
] as const;

const LEFT = 70;
const STEP = 42;
const BAR = 22;
const TOP = 8;

type Shown = Omit<ThreeBarsProps, 'unit'> & { readonly unit: string };

/** All of it in the units of the farm. */
function shownIn({ units, name, value }: Units, props: ThreeBarsProps): Shown {
	if (units === 'metric') return props;
	const { unit, ground, tank, store, gap } = props;
	const turn = (one: Measure): Measure =>
		one && {
			amount: value(one.amount, unit),
			...(typeof one.sigma === 'number' ? { sigma: value(one.sigma, unit) } : {}),
		};
	return {
		...props,
		...{ unit: name(unit), ground: turn(ground), tank: turn(tank), store: turn(store) },
		...(gap ? { gap: { ...gap, amount: value(gap.amount, unit) } } : {}),
	};
}

/** Ground, tank and store: three measures of the same litres, each with what measuring leaves open, and the gap between. */
export function ThreeBars(given: ThreeBarsProps) {
	const id = useId();
	const { ref, width } = usePictureWidth(given.width, 640);
	const props = shownIn(useUnits(), given);
	const largest = Math.max(...bars.map(([key]) => (props[key]?.amount ?? 0) + (props[key]?.sigma ?? 0)), 1e-9);
	const widest = Math.max(...bars.map(([key]) => textWidth(valueText(props[key], props.unit), 14)));
	const x = (value: number) => LEFT + (Math.max(0, value) / largest) * (width - LEFT - widest - 24);
	return (
		<div ref={ref}>
			<svg className="picture" viewBox={`0 0 ${width} ${TOP + 3 * STEP}`} role="img" aria-label={described(props)}>
				<defs>
					{bars.map(([key, , colour, tint], index) => (
						<pattern
							key={key}
							id={`${id}-${key}`}
							width="7"
							height="7"
							patternUnits="userSpaceOnUse"
							patternTransform={`rotate(${[0, 45, 90][index]})`}
						>
							<rect width="7" height="7" fill={colour} />
							{index > 0 && <path d="M0 0v7" stroke={tint} strokeWidth="1.2" />}
						</pattern>
					))}
				</defs>
				{bars.map(([key, label, colour], index) => (
					<Bar
						key={key}
						label={label}
						measure={props[key]}
						unit={props.unit}
						y={TOP + index * STEP}
						x={x}
						fill={`url(#${id}-${key})`}
						colour={colour}
					/>
				))}
				<Bracket {...props} x={x} width={width} />
			</svg>
		</div>
	);
}

function Bar(props: {
	readonly label: string;
	readonly measure: Measure;
	readonly unit: string;
	readonly y: number;
	readonly x: (value: number) => number;
	readonly fill: string;
	readonly colour: string;
}) {
	const { measure, x, y } = props;
	const middle = y + BAR / 2;
	const end = measure ? x(measure.amount) : LEFT;
	const sigma = measure?.sigma ?? 0;
	const low = measure ? x(measure.amount - sigma) : end;
	const high = measure ? x(measure.amount + sigma) : end;
	return (
		<g>
			<text x="0" y={middle + 5} fontSize="14">
				{props.label}
			</text>
			{measure ? (
				<rect x={LEFT} y={y} width={Math.max(1, end - LEFT)} height={BAR} fill={props.fill} stroke={props.colour} />
			) : (
				<rect x={LEFT} y={y} width="60" height={BAR} fill="none" stroke="var(--rule-strong)" strokeDasharray="4 4" />
			)}
			{sigma > 0 && <Spread low={low} end={end} high={high} middle={middle} />}
			<text
				className={measure ? undefined : 't'}
				x={measure ? Math.max(high, end) + 12 : LEFT + 72}
				y={middle + 5}
				fontSize="14"
			>
				{valueText(measure, props.unit)}
			</text>
		</g>
	);
}

/** What measuring leaves open, light within the bar and dark beyond it. */
function Spread({
	low,
	end,
	high,
	middle,
}: {
	readonly low: number;
	readonly end: number;
	readonly high: number;
	readonly middle: number;
}) {
	const shape = `M${low} ${middle}H${high}M${low} ${middle - 5}v10M${high} ${middle - 5}v10`;
	return (
		<>
			<path d={`M${low} ${middle}H${end}M${low} ${middle - 5}v10`} stroke="var(--paper)" strokeWidth="4.5" />
			<path d={shape} stroke="var(--ink)" strokeWidth="1.6" fill="none" />
		</>
	);
}

function Bracket(props: Shown & { readonly x: (value: number) => number }) {
	const { gap, x } = props;
	if (!gap) return null;
	const upper = gap.between === 'ground-tank' ? props.ground : props.tank;
	const lower = gap.between === 'ground-tank' ? props.tank : props.store;
	if (!upper || !lower) return null;
	const top = TOP + (gap.between === 'ground-tank' ? 0 : 1) * STEP + BAR + 3;
	const from = Math.min(x(upper.amount), x(lower.amount));
	const to = Math.max(x(upper.amount), x(lower.amount));
	const text = `${bareAmount(Math.abs(gap.amount))} ${props.unit} apart`;
	const fits = from - textWidth(text, 12.5, true) - 8 > LEFT;
	return (
		<g>
			<path d={`M${from} ${top}v7H${to}v-7`} fill="none" stroke="var(--straw)" strokeWidth="2" />
			<text
				x={fits ? from - 8 : to + 8}
				y={top + 11}
				fontSize="12.5"
				fontWeight="700"
				textAnchor={fits ? 'end' : 'start'}
				style={{ fill: 'var(--straw)' }}
			>
				{text}
			</text>
		</g>
	);
}

/** Three figures are all these measures carry. */
function valueText(measure: Measure, unit: string): string {
	return measure ? `${figure(measure.amount, Math.abs(measure.amount) >= 100 ? 0 : 1)} ${unit}` : 'not reported';
}

function described(props: Shown): string {
	const said = bars.map(([key, label]) => {
		const measure = props[key];
		if (!measure) return `${label}: not reported.`;
		const spread = measure.sigma ? `, give or take ${bareAmount(measure.sigma)}` : '';
		return `${label}: ${bareAmount(measure.amount)} ${props.unit}${spread}.`;
	});
	const gap = props.gap
		? ` ${bareAmount(Math.abs(props.gap.amount))} ${props.unit} apart between ${props.gap.between.replace('-', ' and ')}.`
		: '';
	return `${props.name}, three measures of the same amount. ${said.join(' ')}${gap}`;
}
