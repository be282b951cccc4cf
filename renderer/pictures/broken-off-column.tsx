import { useId } from 'react';
import { type Units, useUnits } from '../units.ts';
import { mark, SideLabels } from './tank-column.tsx';
import { usePictureWidth } from './use-width.ts';

/** How far a load came before it was broken off, and what was then left in the tank. */
export type BrokenOff = {
	readonly coveredHa: number;
	readonly openHa: number;
	readonly leftL: number;
	/** Read in the tank; else by the ground that was covered. */
	readonly isRead: boolean;
	readonly mix: 'kept' | 'disposed' | 'carried on';
};

const TOP = 14;
const HEIGHT = 460;

/** The tank of a load that was broken off: what had gone onto the ground, and below it what was left. */
export function BrokenOffColumn(props: {
	readonly broken: BrokenOff;
	readonly totalL: number;
	readonly capacityL: number;
	readonly rest: 'mix' | 'product';
}) {
	const { broken, totalL, capacityL, rest } = props;
	const id = useId();
	const units = useUnits();
	const { ref, width } = usePictureWidth(undefined, 290);
	const vesselWidth = Math.round(Math.max(76, Math.min(170, width * 0.3)));
	const labelX = 4 + vesselWidth + 26;
	const vessel = { x: 4, width: vesselWidth, top: TOP, bottom: TOP + HEIGHT };
	const scale = (level: number) => vessel.bottom - 2 - (Math.max(0, level) / capacityL) * (HEIGHT - 4);
	const leftL = Math.min(broken.leftL, totalL);
	const [full, left] = [scale(totalL), scale(leftL)];
	const words = labelsOf({ ...broken, leftL }, { totalL, rest, units });
	const labels = words.map(({ level, big, size, small }) => mark(level, big, size, small, width - labelX - 2));
	const described = words.map(({ big, small }) => `${big} ${small.join(', ')}.`).join(' ');
	return (
		<div ref={ref}>
			<svg
				className="picture"
				viewBox={`0 0 ${width} ${HEIGHT + 48}`}
				role="img"
				aria-label={`Tank of ${units.litres(capacityL)} ${units.units === 'metric' ? 'litres' : 'gallons'}. ${described}`}
			>
				<defs>
					<pattern id={`${id}-gone`} width="8" height="8" patternUnits="userSpaceOnUse">
						<rect width="8" height="8" fill="var(--loam-tint)" />
						<path d="M-2 2l4-4M0 8l8-8M6 10l4-4" stroke="var(--loam)" strokeWidth="1.1" />
					</pattern>
					<clipPath id={`${id}-inside`}>
						<rect x={vessel.x + 1} y={vessel.top + 1} width={vessel.width - 2} height={HEIGHT - 2} rx="7" />
					</clipPath>
				</defs>
				<g clipPath={`url(#${id}-inside)`}>
					<rect x={vessel.x} y={full} width={vessel.width} height={left - full} fill={`url(#${id}-gone)`} />
					<rect x={vessel.x} y={left} width={vessel.width} height={vessel.bottom - left} fill="var(--water)" />
				</g>
				<rect
					{...{ x: vessel.x, y: vessel.top, width: vessel.width, height: HEIGHT, rx: 8 }}
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
					{`tank ${units.volume(capacityL)}`}
				</text>
			</svg>
		</div>
	);
}

type Words = { readonly level: number; readonly big: string; readonly size: number; readonly small: readonly string[] };

const became = {
	kept: 'was left in the tank, and kept',
	disposed: 'was left, and disposed of',
	'carried on': 'was left, and went into a later load',
} as const;

function labelsOf(
	{ coveredHa, openHa, leftL, isRead, mix }: BrokenOff,
	{
		totalL,
		rest,
		units: { area, volume },
	}: { readonly totalL: number; readonly rest: 'mix' | 'product'; readonly units: Units },
): Words[] {
	const left = `${isRead ? '' : 'about '}${volume(leftL)}`;
	const whence = isRead ? [] : ['by the ground covered'];
	const open = openHa > 0 ? [`${area(openHa)} of the load not covered`] : [];
	return [
		{ level: totalL, big: volume(totalL), size: 16, small: [`of ${rest} had been made up`] },
		{
			level: (totalL + leftL) / 2,
			big: area(coveredHa),
			size: 21,
			small: ['covered when it was broken off'],
		},
		{ level: leftL, big: left, size: 27, small: [`of ${rest} ${became[mix]}`, ...whence, ...open] },
	];
}
