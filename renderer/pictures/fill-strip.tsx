import { useId } from 'react';
import { saidStop } from '../../shared/core/filling/stop-length.ts';
import { clock, duration, figure } from '../format.ts';
import { type Units, useUnits } from '../units.ts';
import {
	type ContainerSpan,
	containersOf,
	type LoadVolumes,
	levelOf,
	type PlannedFill,
	type PouredProduct,
	pauseOf,
	spareOf,
} from './fill.ts';
import { fitText, spread, textWidth } from './lettering.ts';
import { ProductPatterns, productFill } from './product-pattern.tsx';
import { usePictureWidth } from './use-width.ts';

export type FillStripProps = {
	readonly load: LoadVolumes;
	readonly fill: PlannedFill;
	/** In mix order; names as in the fill's events. */
	readonly products: readonly PouredProduct[];
	readonly startL: number | null;
	readonly width?: number;
};

const LEFT = 52;
const RIGHT = 14;
const TOP = 30;
const BASE = 186;
const TICK_TOP = 196;
const TICK = 18;

/** A fill from the left to the right: the tank rises, containers stand as ticks below, with the pause and the time to spare. */
export function FillStrip(props: FillStripProps) {
	const id = useId();
	const units = useUnits();
	const { ref, width } = usePictureWidth(props.width, 640);
	const { load, fill } = props;
	const level = levelOf(fill, load);
	const wholeS = Math.max(1, fill.finishS, ...level.map((point) => point.atS));
	const fullL = Math.max(load.totalL, ...level.map((point) => point.tankL));
	const x = (seconds: number) => LEFT + (seconds / wholeS) * (width - LEFT - RIGHT);
	const y = (litres: number) => BASE - (Math.max(0, litres) / fullL) * (BASE - TOP);
	const line = level.map((point) => `${x(point.atS).toFixed(1)},${y(point.tankL).toFixed(1)}`).join(' ');
	const containers = containersOf(fill);
	const groups = groupsOf(containers, props.products, units);
	const rows = namesInRows(groups, x, width);
	const bottom = TICK_TOP + TICK + 4 + rows.height;
	const spare = spareOf(fill);
	return (
		<div ref={ref}>
			<svg
				className="picture"
				viewBox={`0 0 ${width} ${bottom + 20}`}
				role="img"
				aria-label={described(props, groups, units)}
			>
				<defs>
					<ProductPatterns id={id} />
					<pattern id={`${id}-w`} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
						<rect width="6" height="6" fill="var(--water-tint)" />
						<path d="M0 0v6" stroke="var(--water)" strokeWidth="1" />
					</pattern>
				</defs>
				<LevelLines totalL={load.totalL} width={width} y={y} />
				<polygon points={`${x(0)},${BASE} ${line} ${x(wholeS)},${BASE}`} fill={`url(#${id}-w)`} opacity="0.55" />
				<polyline points={line} fill="none" stroke="var(--water)" strokeWidth="2.5" strokeLinejoin="round" />
				<Pause fill={fill} x={x} y={y} width={width} />
				<FirstContainer containers={containers} startL={props.startL} x={x} y={y} width={width} />
				{containers.map((span) => (
					<rect
						key={span.fromS}
						x={x(span.fromS) + 0.75}
						y={TICK_TOP}
						width={Math.max(2, x(span.toS) - x(span.fromS) - 2)}
						height={TICK}
						fill={span.rinseOnly ? 'none' : productFill(id, orderOf(span.product, props.products))}
						stroke="var(--damson)"
						strokeWidth="1.4"
					/>
				))}
				{spare && <Spare from={x(spare.fromS)} to={x(spare.toS)} seconds={spare.toS - spare.fromS} />}
				{rows.names.map((name) => (
					<text key={name.text} x={name.x} y={TICK_TOP + TICK + 17 + name.row * 16} fontSize="12.5">
						{name.text}
					</text>
				))}
				<Minutes wholeS={wholeS} x={x} y={bottom + 16} width={width} />
			</svg>
		</div>
	);
}

function LevelLines({
	totalL,
	width,
	y,
}: {
	readonly totalL: number;
	readonly width: number;
	readonly y: (level: number) => number;
}) {
	const { units, value } = useUnits();
	const total = value(totalL, 'L');
	return (
		<>
			{roundLevels(total).map((level) => (
				<g key={level}>
					<path
						d={`M${LEFT} ${y((level / total) * totalL)}H${width - RIGHT}`}
						stroke={level === 0 ? 'var(--rule-strong)' : 'var(--rule)'}
					/>
					<text className="t" x={LEFT - 8} y={y((level / total) * totalL) + 4} fontSize="12" textAnchor="end">
						{figure(level)}
					</text>
				</g>
			))}
			<text className="t" x={LEFT - 8} y={y(totalL) - 10} fontSize="12" textAnchor="end">
				{units === 'metric' ? 'litres' : 'gallons'}
			</text>
		</>
	);
}

/** Round figures up the tank, and what it holds when it is full; none so close below that the figures touch. */
function roundLevels(total: number): number[] {
	const tens = 10 ** Math.floor(Math.log10(total / 2));
	const step = [1, 2, 5, 10].map((many) => many * tens).find((each) => total / each <= 4) ?? total;
	const below = Array.from({ length: Math.ceil(total / step) }, (_, index) => index * step);
	return [...below.filter((level) => level < total * 0.9), total];
}

type Scales = {
	readonly x: (seconds: number) => number;
	readonly y: (level: number) => number;
	readonly width: number;
};

function FirstContainer(
	props: Scales & { readonly containers: readonly ContainerSpan[]; readonly startL: number | null },
) {
	const { volume } = useUnits();
	const first = props.containers[0];
	if (!first) return null;
	const at = props.x(first.fromS);
	const level = first.atTankL;
	const text = `open the first at ${volume(props.startL ?? level)}`;
	const wide = textWidth(text, 12.5);
	const toLeft = at - wide - 8 > LEFT;
	return (
		<>
			<path d={`M${at} ${props.y(level)}V${TICK_TOP + TICK}`} stroke="var(--ink)" strokeDasharray="3 3" />
			<circle cx={at} cy={props.y(level)} r="3.5" fill="var(--ink)" />
			<Halo
				x={toLeft ? at - 8 : at + 8}
				y={toLeft ? props.y(level) - 8 : Math.min(BASE - 6, props.y(level) + 20)}
				text={text}
				end={toLeft}
			/>
		</>
	);
}

function Pause({ fill, x, y, width }: Scales & { readonly fill: PlannedFill }) {
	const { volume } = useUnits();
	const pause = pauseOf(fill);
	if (!pause) return null;
	const from = x(pause.fromS);
	const to = x(pause.toS);
	const text = `inlet shut at ${volume(pause.tankL)} for ${duration(saidStop(fill.pausedS))}`;
	const wide = textWidth(text, 12.5);
	const left = Math.min(Math.max(LEFT + 4, from), width - RIGHT - wide);
	return (
		<>
			<rect x={from} y={TOP} width={Math.max(2, to - from)} height={BASE - TOP} fill="var(--straw)" opacity="0.16" />
			<path
				d={`M${from} ${TOP}V${BASE}M${to} ${TOP}V${BASE}`}
				stroke="var(--straw)"
				strokeWidth="1.5"
				strokeDasharray="5 3"
			/>
			<path d={`M${from} ${y(pause.tankL)}H${to}`} stroke="var(--straw)" strokeWidth="4" />
			<Halo x={left} y={TOP - 10} text={text} />
		</>
	);
}

/** Time to spare; its words stand beside the ticks where there is room, else above them, over the water. */
function Spare({ from, to, seconds }: { readonly from: number; readonly to: number; readonly seconds: number }) {
	const text = `${clock(seconds)} spare`;
	const wide = textWidth(text, 12.5);
	const fits = to - from >= wide + 2;
	return (
		<>
			<path
				d={`M${from + 1} ${TICK_TOP + TICK - 3}H${to}M${to} ${TICK_TOP + TICK - 8}v10`}
				stroke="var(--straw)"
				strokeWidth="3"
				fill="none"
			/>
			<Halo
				x={fits ? (from + to) / 2 - wide / 2 : to}
				y={fits ? TICK_TOP + TICK - 8 : BASE - 7}
				text={text}
				end={!fits}
				straw
			/>
		</>
	);
}

/** Text with a paper edge, readable where it crosses a line. */
function Halo(props: {
	readonly x: number;
	readonly y: number;
	readonly text: string;
	readonly end?: boolean;
	readonly straw?: boolean;
}) {
	return (
		<text
			x={props.x}
			y={props.y}
			fontSize="12.5"
			textAnchor={props.end ? 'end' : 'start'}
			stroke="var(--paper)"
			strokeWidth="4"
			strokeLinejoin="round"
			paintOrder="stroke"
			style={props.straw ? { fill: 'var(--straw)', fontWeight: 700 } : undefined}
		>
			{props.text}
		</text>
	);
}

function Minutes({
	wholeS,
	x,
	y,
	width,
}: {
	readonly wholeS: number;
	readonly x: (seconds: number) => number;
	readonly y: number;
	readonly width: number;
}) {
	const minutes = wholeS / 60;
	const most = Math.max(2, Math.floor((width - LEFT) / 60));
	const step = [0.5, 1, 2, 5, 10, 15, 20, 30, 60].find((each) => minutes / each <= most) ?? 60;
	const marks = Array.from({ length: Math.floor(minutes / step) + 1 }, (_, index) => index * step);
	return (
		<>
			{marks.map((minute) => (
				<g key={minute}>
					<path d={`M${x(minute * 60)} ${BASE}v4`} stroke="var(--rule-strong)" />
					<text className="t" x={x(minute * 60)} y={y} fontSize="12" textAnchor={minute === 0 ? 'start' : 'middle'}>
						{minute === 0 ? '0 min' : figure(minute, step < 1 ? 1 : 0)}
					</text>
				</g>
			))}
		</>
	);
}

type Group = { readonly index: number; readonly product: PouredProduct; readonly fromS: number; readonly text: string };

/** One name for the containers of one product, under its first. */
function groupsOf(containers: readonly ContainerSpan[], products: readonly PouredProduct[], units: Units): Group[] {
	return products.flatMap((product, index) => {
		const first = containers.find((span) => span.product === product.name);
		return first ? [{ index, product, fromS: first.fromS, text: `${product.name} · ${packs(product, units)}` }] : [];
	});
}

function packs(product: PouredProduct, { amount, units }: Units): string {
	const size = (one: number) =>
		units === 'metric' ? `${figure(one, decimalsOf(one))} ${product.unit}` : amount(one, product.unit);
	const whole = (product.fullPacks ?? [])
		.filter((pack) => pack.count > 0)
		.map((pack) => `${pack.count} × ${size(pack.size)}`);
	const poured = product.measured && product.measured > 0 ? [amount(product.measured, product.unit)] : [];
	const opened =
		product.fromOpened && product.fromOpened > 0 ? [`opened ${amount(product.fromOpened, product.unit)}`] : [];
	const all = [...opened, ...whole, ...poured];
	return all.length > 0 ? all.join(' + ') : amount(product.amount, product.unit);
}

function decimalsOf(size: number): number {
	return Number.isInteger(size) ? 0 : 2;
}

type Name = { readonly x: number; readonly row: number; readonly text: string };

/** Names in one row where they fit side by side under their ticks; else each on a row of its own. */
function namesInRows(
	groups: readonly Group[],
	x: (seconds: number) => number,
	width: number,
): { names: Name[]; height: number } {
	const blocks = groups.map((group) => ({ wanted: x(group.fromS), size: textWidth(group.text, 12.5) + 12 }));
	const together = blocks.reduce((sum, block) => sum + block.size, 0);
	const starts = spread(blocks, LEFT, width);
	const moved = starts.some((start, index) => Math.abs(start - (blocks[index]?.wanted ?? 0)) > 40);
	if (together <= width - LEFT && !moved) {
		return {
			names: groups.map((group, index) => ({ x: starts[index] ?? LEFT, row: 0, text: group.text })),
			height: 20,
		};
	}
	const names = groups.map((group, row) => {
		const wanted = x(group.fromS);
		const text = fitText(`${group.index + 1}  ${group.text}`, 12.5, width - 8);
		return { x: Math.max(4, Math.min(wanted, width - textWidth(text, 12.5) - 4)), row, text };
	});
	return { names, height: 4 + groups.length * 16 };
}

function orderOf(name: string, products: readonly PouredProduct[]): number {
	return Math.max(
		0,
		products.findIndex((product) => product.name === name),
	);
}

function described({ load, fill, startL }: FillStripProps, groups: readonly Group[], { litres, units }: Units): string {
	const unit = units === 'metric' ? 'litres' : 'gallons';
	const many = containersOf(fill).filter((span) => !span.rinseOnly).length;
	const parts = [`The tank fills to ${litres(load.totalL)} ${unit} in ${duration(fill.finishS)}.`];
	if (startL !== null) parts.push(`The first container is opened at ${litres(startL)} ${unit}.`);
	parts.push(
		fill.fits
			? `All ${many} containers fit while it fills.`
			: `${fill.containersThatFit} of ${many} containers fit while it fills.`,
	);
	const pause = pauseOf(fill);
	if (pause) parts.push(`The inlet is shut at ${litres(pause.tankL)} ${unit} for ${duration(saidStop(fill.pausedS))}.`);
	const spare = spareOf(fill);
	if (spare) parts.push(`${duration(spare.toS - spare.fromS)} to spare at the end.`);
	for (const group of groups) parts.push(`${group.text} from ${clock(group.fromS)}.`);
	return parts.join(' ');
}
