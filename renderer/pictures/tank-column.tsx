import { useId } from 'react';
import { type Units, useUnits } from '../units.ts';
import { containersOf, type LoadVolumes, type PlannedFill, type PouredProduct, stopsToMake } from './fill.ts';
import { spread, textWidth, wrapText } from './lettering.ts';
import { ProductPatterns, productFill } from './product-pattern.tsx';
import { usePictureWidth } from './use-width.ts';

export type TankColumnProps = {
	readonly load: LoadVolumes;
	/** In mix order. */
	readonly products: readonly PouredProduct[];
	readonly capacityL: number;
	/** Tank level at which the first container is opened; null when nobody decided one. */
	readonly startL: number | null;
	/** With it the meter stops and the pause are shown, and each product stands where it goes in. */
	readonly fill?: PlannedFill | null;
	/** What is metered in; left out: water. */
	readonly liquid?: 'water' | 'fertiliser' | 'product' | undefined;
	readonly height?: number;
	/** A fixed width, for paper; otherwise the room there is. */
	readonly width?: number;
};

type Label = { readonly level: number; readonly lines: readonly Line[]; readonly height: number };
type Line = { readonly text: string; readonly size: number; readonly bold?: boolean; readonly quiet?: boolean };

const TOP = 14;
const BAND = 13;

/** With the units its figures are said in. */
type Shown = TankColumnProps & { readonly units: Units };

/** A load as a standing vessel: water and products in order, the stop marks at its side in figures to read from the cab. */
export function TankColumn(given: TankColumnProps) {
	const id = useId();
	const units = useUnits();
	const props: Shown = { ...given, units };
	const { ref, width } = usePictureWidth(props.width, 290);
	const vesselWidth = Math.round(Math.max(76, Math.min(170, width * 0.3)));
	const labelX = 4 + vesselWidth + 26;
	const room = width - labelX - 2;
	const height = Math.max(props.height ?? 460, lettersHeight(props, room));
	const vessel = { x: 4, width: vesselWidth, top: TOP, bottom: TOP + height };
	const scale = (level: number) => vessel.bottom - 2 - (Math.max(0, level) / props.capacityL) * (height - 4);
	const bands = bandsOf(props, scale);
	const labels = [...marksOf(props, room), ...bands.map((band) => productLabel(band, room, units))].sort(
		(a, b) => b.level - a.level,
	);
	const start = props.startL === null ? null : scale(Math.min(props.startL, props.load.totalL));
	const full = scale(props.load.totalL);
	return (
		<div ref={ref}>
			<svg className="picture" viewBox={`0 0 ${width} ${height + 48}`} role="img" aria-label={described(props)}>
				<defs>
					<ProductPatterns id={id} />
					<pattern id={`${id}-first`} width="6" height="6" patternUnits="userSpaceOnUse">
						<rect width="6" height="6" fill="var(--water-tint)" />
						<path d="M0 1.5h6M0 4.5h6" stroke="var(--water)" strokeWidth="1.1" />
					</pattern>
					<clipPath id={`${id}-inside`}>
						<rect x={vessel.x + 1} y={vessel.top + 1} width={vessel.width - 2} height={height - 2} rx="7" />
					</clipPath>
				</defs>
				<g clipPath={`url(#${id}-inside)`}>
					<rect x={vessel.x} y={full} width={vessel.width} height={vessel.bottom - full} fill="var(--water-tint)" />
					{start !== null && (
						<rect
							x={vessel.x}
							y={start}
							width={vessel.width}
							height={vessel.bottom - start}
							fill={`url(#${id}-first)`}
						/>
					)}
					{props.load.carriedInL > 0 && (
						<rect
							x={vessel.x}
							y={scale(props.load.carriedInL)}
							width={vessel.width}
							height={vessel.bottom - scale(props.load.carriedInL)}
							fill="var(--water)"
						/>
					)}
					{bands.map((band) => (
						<rect
							key={band.index}
							x={vessel.x + 3}
							y={band.y}
							width={vessel.width - 6}
							height={band.height - 2}
							fill={productFill(id, band.index)}
							stroke="var(--damson)"
							strokeWidth="1.5"
						/>
					))}
				</g>
				<rect
					x={vessel.x}
					y={vessel.top}
					width={vessel.width}
					height={height}
					rx="8"
					fill="none"
					stroke="var(--ink)"
					strokeWidth="2"
				/>
				<SideLabels
					labels={labels}
					scale={scale}
					x={labelX}
					edge={vessel.x + vessel.width}
					bottom={vessel.bottom + 8}
				/>
				<text className="t" x={vessel.x} y={vessel.bottom + 24} fontSize="13">
					{`tank ${units.volume(props.capacityL)}`}
				</text>
			</svg>
		</div>
	);
}

/** The marks at the side of a vessel, each at its level as far as none covers another. */
export function SideLabels(props: {
	readonly labels: readonly Label[];
	readonly scale: (level: number) => number;
	readonly x: number;
	readonly edge: number;
	readonly bottom: number;
}) {
	const { labels, scale, x, edge } = props;
	const wanted = labels.map((label) => ({
		wanted: scale(label.level) - (label.lines[0]?.size ?? 14) * 0.7,
		size: label.height,
	}));
	const starts = spread(wanted, 2, props.bottom);
	return labels.map((label, index) => (
		<SideLabel
			// biome-ignore lint/suspicious/noArrayIndexKey: two marks may stand at one level with the same figure
			key={index}
			label={label}
			x={x}
			y={starts[index] ?? 0}
			edge={edge}
			levelY={scale(label.level)}
		/>
	));
}

function SideLabel(props: {
	readonly label: Label;
	readonly x: number;
	readonly y: number;
	readonly edge: number;
	readonly levelY: number;
}) {
	const first = props.label.lines[0];
	if (!first) return null;
	const middle = props.y + first.size * 0.66;
	const strong = first.bold === true;
	let y = props.y;
	return (
		<g>
			<path
				d={`M${strong ? props.edge - 10 : props.edge - 3} ${props.levelY}H${props.edge + 6}L${props.x - 8} ${middle}H${props.x - 4}`}
				fill="none"
				stroke={strong ? 'var(--ink)' : 'var(--damson)'}
				strokeWidth={strong ? 1.6 : 1}
			/>
			{props.label.lines.map((line) => {
				y += line.size * 1.02;
				const at = y;
				y += line.size * 0.26;
				return (
					<text
						key={line.text}
						className={line.quiet ? 't' : undefined}
						x={props.x}
						y={at}
						fontSize={line.size}
						fontWeight={line.bold ? 700 : 400}
					>
						{line.text}
					</text>
				);
			})}
		</g>
	);
}

/** The column grows rather than let letters cover each other. */
function lettersHeight(props: Shown, room: number): number {
	const products = props.products.map((product, index) =>
		productLabel({ index, product, level: 0 }, room, props.units),
	);
	return [...marksOf(props, room), ...products].reduce((sum, label) => sum + label.height, 0);
}

type Band = {
	readonly index: number;
	readonly level: number;
	readonly y: number;
	readonly height: number;
	readonly product: PouredProduct;
};

/** Each product at the level where it goes in; thin pours are drawn thick enough to see, and none covers another. */
function bandsOf(props: TankColumnProps, scale: (level: number) => number): Band[] {
	const first = props.startL ?? (props.liquid === 'product' ? 0 : props.load.totalL / 2);
	const poured = props.fill ? containersOf(props.fill) : [];
	const heights = props.products.map((product) => bandHeight(product, scale));
	const total = heights.reduce((sum, height) => sum + height, 0);
	const floor = scale(Math.min(first, props.load.totalL));
	const ceiling = Math.min(scale(props.load.totalL), floor - total);
	const upward = props.products.map((product, index) => {
		const level = poured.find((span) => span.product === product.name)?.atTankL ?? first;
		return { wanted: floor - scale(level), size: heights[index] ?? BAND };
	});
	const starts = spread(upward, 0, floor - ceiling);
	return props.products.map((product, index) => {
		const height = heights[index] ?? BAND;
		const y = floor - (starts[index] ?? 0) - height;
		const level = (scale(0) - y - height / 2) / (scale(0) - scale(1)) || 0;
		return { index, product, y, height, level };
	});
}

function bandHeight(product: PouredProduct, scale: (level: number) => number): number {
	const toScale = product.unit === 'L' ? scale(0) - scale(product.amount) : 0;
	return Math.max(BAND, toScale);
}

function productLabel(band: Pick<Band, 'index' | 'product' | 'level'>, room: number, { amount }: Units): Label {
	const text = `${band.index + 1}  ${band.product.name}`;
	const howMuch = amount(band.product.amount, band.product.unit);
	const both = `${text} · ${howMuch}`;
	if (textWidth(both, 14) <= room) return { level: band.level, lines: [{ text: both, size: 14 }], height: 21 };
	const named = wrapText(text, 14, room).map((line) => ({ text: line, size: 14 }));
	return {
		level: band.level,
		lines: [...named, { text: howMuch, size: 14, quiet: true }],
		height: named.length * 18 + 21,
	};
}

/** The marks to read from the cab: water before the first, the pause, the last stop, and what was left from before. */
function marksOf(props: Shown, room: number): Label[] {
	const { load, fill } = props;
	const { litres, volume, say } = props.units;
	const stops = fill ? stopsToMake(fill) : [];
	const last = stops.at(-1);
	const pause = fill && fill.pauseAtL !== null && stops.length > 1 ? stops[0] : undefined;
	// The stop comes where the first container is opened, less what the valve lets through: one mark.
	const opensAtStop = pause !== undefined && pause.atMeterL < (props.startL ?? 0) - load.carriedInL + 1;
	const less = load.totalL - load.carriedInL - (last?.atMeterL ?? load.waterL);
	const marks: Label[] = [];
	const neat = props.liquid === 'product';
	const said = volume(last?.atMeterL ?? (neat ? load.totalL - load.carriedInL : load.waterL));
	const sum = `tank then holds ${volume(load.totalL)}`;
	const besides = less - load.displacementL;
	const minus = [
		`${litres(load.displacementL)} of product`,
		...(besides > 0.5 ? [`${litres(besides)} of rinses and run-on`] : []),
	].join(' and ');
	const whence = !neat && less > 0.05 ? [`${litres(load.totalL - load.carriedInL)} less ${minus}`] : [];
	// Where all of it is left from before, nothing is metered in.
	if (load.totalL - load.carriedInL >= 0.5 || load.carriedInL === 0) {
		marks.push(
			mark(
				load.totalL,
				said,
				27,
				[last ? 'stop the meter here' : `${props.liquid ?? 'water'} in all`, sum, ...whence],
				room,
			),
		);
	}
	if (pause && fill?.pauseAtL !== undefined && fill.pauseAtL !== null) {
		const first = opensAtStop ? ['open the first container here'] : [];
		marks.push(mark(fill.pauseAtL, volume(pause.atMeterL), 21, [...first, say(pause.why)], room));
	}
	if (props.startL !== null && props.startL < load.totalL && !opensAtStop) {
		marks.push(
			mark(
				props.startL,
				volume(Math.max(0, props.startL - load.carriedInL)),
				21,
				[`${props.liquid ?? 'water'} before the first`],
				room,
			),
		);
	}
	if (load.carriedInL > 0)
		marks.push(mark(load.carriedInL, volume(load.carriedInL), 16, ['left from the load before'], room));
	return marks;
}

export function mark(level: number, big: string, size: number, small: readonly string[], room: number): Label {
	const lines: Line[] = [
		{ text: big, size, bold: true },
		...small.flatMap((text) => wrapText(text, 13, room).map((line) => ({ text: line, size: 13, quiet: true }))),
	];
	return { level, lines, height: lines.reduce((sum, line) => sum + line.size * 1.28, 0) + 8 };
}

function described(props: Shown): string {
	const { load, fill, startL, products } = props;
	const { amount, figure, litres, say, units } = props.units;
	const unit = units === 'metric' ? 'litres' : 'gallons';
	const parts = [`Tank of ${litres(props.capacityL)} ${unit}.`];
	if (load.carriedInL > 0) parts.push(`${litres(load.carriedInL)} ${unit} are left from the load before.`);
	if (startL !== null) parts.push(`Water to ${litres(startL)} ${unit} before the first container.`);
	if (products.length > 0) {
		parts.push(
			`Then in order: ${products.map((each, index) => `${index + 1} ${each.name} ${amount(each.amount, each.unit)}`).join(', ')}.`,
		);
	}
	for (const stop of fill ? stopsToMake(fill) : [])
		parts.push(`Meter ${figure(stop.atMeterL, 'L')} ${unit}: ${say(stop.why)}.`);
	const full = `The full load is ${litres(load.totalL)} ${unit}`;
	parts.push(
		props.liquid === 'product'
			? `${full} of product, no water.`
			: `${full}, ${litres(load.waterL)} of it ${props.liquid ?? 'water'}.`,
	);
	return parts.join(' ');
}
