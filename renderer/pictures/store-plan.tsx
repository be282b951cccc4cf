import type { PointerEventHandler, Ref } from 'react';
import { M_PER_FOOT } from '../../shared/core/sprayers/us-customary.ts';
import type { PlanPart, StorePlan } from '../../shared/core/store/store-plan.ts';
import { useUnits } from '../units.ts';
import { textWidth } from './lettering.ts';

/** One metre in the units of the picture. */
const METRE = 100;

/** Shelves are filled, rooms and the bund are lines; what helps in an emergency carries its name. */
const looks: Readonly<Record<PlanPart['kind'], { readonly fill: string; readonly dash?: string }>> = {
	shelf: { fill: 'var(--damson-tint)' },
	room: { fill: 'none' },
	bund: { fill: 'none', dash: '14 9' },
	door: { fill: 'var(--ink)' },
	water: { fill: 'var(--water-tint)' },
	electricity: { fill: 'var(--straw-tint)' },
	extinguisher: { fill: 'var(--brick-tint)' },
	'spill kit': { fill: 'var(--loam-tint)' },
};

/** A length to hold the building against. */
const beside = {
	metric: { metres: 1, words: '1 m' },
	'US customary': { metres: 3 * M_PER_FOOT, words: '3 ft' },
} as const;

/** The plan of the store building from above, to scale, with a metre or a yard beside it. */
export function StorePlanPicture(props: {
	readonly plan: StorePlan;
	/** A rectangle being drawn. */
	readonly drawn?: PlanPart | null;
	readonly chosen?: number | null;
	readonly onPointerDown?: PointerEventHandler<SVGSVGElement>;
	readonly onPointerMove?: PointerEventHandler<SVGSVGElement>;
	readonly onPointerUp?: PointerEventHandler<SVGSVGElement>;
	readonly picture?: Ref<SVGSVGElement>;
}) {
	const { plan, drawn, chosen } = props;
	const [width, depth] = [plan.widthM * METRE, plan.depthM * METRE];
	const units = useUnits();
	const length = beside[units.units];
	const bar = length.metres * METRE;
	const edge = 0.04 * Math.max(width, depth) + 14;
	const letter = Math.max(width, depth) / 26;
	const names = plan.parts.map(({ label, kind }) => label || kind).join(', ');
	const walked = plan.parts.filter(({ kind }) => kind === 'shelf');
	return (
		<svg
			ref={props.picture}
			className="store-plan"
			viewBox={`${-edge} ${-edge} ${width + 2 * edge} ${depth + 2 * edge + letter * 1.6}`}
			role="img"
			aria-label={`Plan of the store, ${units.say(`${plan.widthM} m by ${plan.depthM} m`)}: ${names}`}
			onPointerDown={props.onPointerDown}
			onPointerMove={props.onPointerMove}
			onPointerUp={props.onPointerUp}
		>
			<rect x={0} y={0} width={width} height={depth} fill="var(--sheet)" stroke="var(--ink)" strokeWidth={letter / 5} />
			{[...plan.parts, ...(drawn ? [drawn] : [])].map((part, index) => (
				// biome-ignore lint/suspicious/noArrayIndexKey: parts have no name of their own while they are drawn
				<g key={index} data-part={index}>
					<rect
						x={part.xM * METRE}
						y={part.yM * METRE}
						width={part.widthM * METRE}
						height={part.depthM * METRE}
						fill={looks[part.kind].fill === 'none' ? 'transparent' : looks[part.kind].fill}
						stroke="var(--ink)"
						strokeWidth={chosen === index ? letter / 4 : letter / 10}
						strokeDasharray={looks[part.kind].dash}
					/>
					<Name part={part} plan={plan} letter={letter} number={walked.indexOf(part) + 1} />
				</g>
			))}
			<g transform={`translate(0 ${depth + letter * 1.2})`}>
				<path
					d={`M0 ${-letter / 4} V${letter / 4} M0 0 H${bar} M${bar} ${-letter / 4} V${letter / 4}`}
					stroke="var(--ink)"
					strokeWidth={letter / 9}
				/>
				<text x={bar + letter / 2} y={letter * 0.3} fontSize={letter * 0.8} fill="var(--ink)">
					{length.words}
				</text>
			</g>
		</svg>
	);
}

type Named = {
	readonly part: PlanPart;
	readonly plan: StorePlan;
	readonly letter: number;
	readonly number: number;
};

/** Inside the part where there is room, turned where it is upright; a room's and the bund's name in the corner. */
function Name({ part, plan, letter, number }: Named) {
	const { xM, yM, widthM, depthM, kind } = part;
	const said = part.label || (kind === 'shelf' ? '' : kind);
	// A name that brings its own number needs no second one.
	const text = number > 0 && !/\d/.test(said) ? `${number} ${said}` : said;
	const [width, depth] = [widthM * METRE, depthM * METRE];
	if (kind === 'room' || kind === 'bund') {
		return (
			<text x={xM * METRE + letter * 0.3} y={yM * METRE + letter * 0.9} fontSize={letter * 0.8} fill="var(--quiet)">
				{text}
			</text>
		);
	}
	const upright = depth > width;
	const room = upright ? depth : width;
	const least = letter * 0.55;
	const [x, y] = [(xM + widthM / 2) * METRE, (yM + depthM / 2) * METRE];
	const centred = { fill: 'var(--ink)', textAnchor: 'middle', dominantBaseline: 'central' } as const;
	if (kind === 'door' || (kind !== 'shelf' && textWidth(text, least) > room * 0.94)) {
		const size = letter * 0.7;
		const half = textWidth(text, size) / 2;
		const above = yM * METRE - size * 0.8;
		return (
			<text
				{...centred}
				x={Math.max(half, Math.min(plan.widthM * METRE - half, x))}
				y={above > size ? above : (yM + depthM) * METRE + size * 0.8}
				fontSize={size}
			>
				{text}
			</text>
		);
	}
	const fits = Math.min((room / Math.max(1, text.length)) * 1.7, (upright ? width : depth) * 0.8);
	// The name of a shelf too long for it runs over the edge rather than shrinking out of sight.
	const size = Math.max(least, Math.min(letter, fits));
	return (
		<text {...centred} x={x} y={y} fontSize={size} transform={upright ? `rotate(-90 ${x} ${y})` : undefined}>
			{text}
		</text>
	);
}
