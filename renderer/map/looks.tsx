import type { CanvasColours } from './canvas-colours.ts';
import type { Shade } from './map-field.ts';

/** Lines that tell two fields apart where their colours cannot: on paper, or to a colour-blind eye. */
export type Pattern = 'rise' | 'level' | 'fall' | 'dots';

/** How a field is filled and outlined. */
export type Look = {
	readonly colour: keyof CanvasColours;
	readonly fill: number;
	readonly dash?: string;
	readonly pattern?: Pattern;
};

const shades: Readonly<Record<Shade, Look>> = {
	plain: { colour: 'loam', fill: 0.22 },
	quiet: { colour: 'quiet', fill: 0.1 },
	look: { colour: 'straw', dash: '6 3', fill: 0.32 },
	stop: { colour: 'brick', dash: '2 3', fill: 0.32 },
	new: { colour: 'leaf', fill: 0.3 },
	changed: { colour: 'water', dash: '6 3', fill: 0.3 },
};

export function lookOf(shade: Shade | Look | undefined): Look {
	return typeof shade === 'object' ? shade : shades[shade ?? 'plain'];
}

const CROP_COLOURS = ['straw', 'water', 'leaf', 'damson', 'brick', 'loam'] as const;
const CROP_PATTERNS = [undefined, 'rise', 'level', 'fall', 'dots'] as const;

/** A look for each name, in the order given; thirty of them differ, and any five neighbours in the list by pattern alone. */
export function looksFor(names: readonly string[]): Map<string, Look> {
	return new Map(
		names.map((name, index) => {
			const pattern = CROP_PATTERNS[index % CROP_PATTERNS.length];
			const colour = CROP_COLOURS[index % CROP_COLOURS.length] ?? 'loam';
			return [name, { colour, fill: 0.3, ...(pattern ? { pattern } : {}) }];
		}),
	);
}

/** Ground of a field that is not sprayed, in the colour no crop has. */
export const leftOutLooks = {
	strip: { look: { colour: 'ink', fill: 0.2, pattern: 'rise' }, text: 'strip, not sprayed' },
	obstacle: { look: { colour: 'ink', fill: 0.35, pattern: 'dots' }, text: 'obstacle' },
} as const satisfies Record<string, { readonly look: Look; readonly text: string }>;

/** Side of the tile a pattern repeats, in px. */
export const PATTERN_PX = 8;

/** What each pattern draws on a tile of 8 × 8 that repeats without a seam. */
const strokes: Readonly<Record<Exclude<Pattern, 'dots'>, string>> = {
	rise: 'M-2 2L2 -2M0 8L8 0M6 10L10 6',
	level: 'M0 4H8',
	fall: 'M-2 6L2 10M0 0L8 8M6 -2L10 2',
};
const DOTS = 'M2 0.8a1.2 1.2 0 1 1 0 2.4a1.2 1.2 0 1 1 0 -2.4M6 4.8a1.2 1.2 0 1 1 0 2.4a1.2 1.2 0 1 1 0 -2.4';
const LINE_ALPHA = 0.75;

/** The fill of a canvas in a look, at the screen's pixels per px: null where the plain colour does. */
export function canvasPattern(look: Look, colour: string, ratio: number): CanvasPattern | null {
	if (!look.pattern) return null;
	const canvas = document.createElement('canvas');
	canvas.width = Math.round(PATTERN_PX * ratio);
	canvas.height = Math.round(PATTERN_PX * ratio);
	const ink = canvas.getContext('2d');
	if (!ink) return null;
	ink.scale(canvas.width / PATTERN_PX, canvas.height / PATTERN_PX);
	ink.fillStyle = colour;
	ink.strokeStyle = colour;
	ink.globalAlpha = look.fill * 0.6;
	ink.fillRect(0, 0, PATTERN_PX, PATTERN_PX);
	ink.globalAlpha = LINE_ALPHA;
	if (look.pattern === 'dots') ink.fill(new Path2D(DOTS));
	else {
		ink.lineWidth = 1.4;
		ink.stroke(new Path2D(strokes[look.pattern]));
	}
	return ink.createPattern(canvas, 'repeat');
}

/** The same pattern in a drawing whose unit is `scale` px. */
export function LookPattern({ look, id, scale }: { readonly look: Look; readonly id: string; readonly scale: number }) {
	if (!look.pattern) return null;
	const token = `var(--${tokenOf(look.colour)})`;
	return (
		<pattern
			id={id}
			width={PATTERN_PX}
			height={PATTERN_PX}
			patternUnits="userSpaceOnUse"
			patternTransform={`scale(${scale})`}
		>
			<rect width={PATTERN_PX} height={PATTERN_PX} fill={token} fillOpacity={look.fill * 0.6} />
			{look.pattern === 'dots' ? (
				<path d={DOTS} fill={token} fillOpacity={LINE_ALPHA} />
			) : (
				<path d={strokes[look.pattern]} stroke={token} strokeWidth="1.4" strokeOpacity={LINE_ALPHA} />
			)}
		</pattern>
	);
}

/** The same look in a legend. */
export function LookSample({ look, id }: { readonly look: Look; readonly id: string }) {
	const token = `var(--${tokenOf(look.colour)})`;
	return (
		<svg width="26" height="16" viewBox="0 0 26 16" aria-hidden="true">
			<LookPattern look={look} id={id} scale={1} />
			<rect
				x="1"
				y="1"
				width="24"
				height="14"
				fill={look.pattern ? `url(#${id})` : token}
				fillOpacity={look.pattern ? 1 : look.fill}
				stroke={token}
				strokeWidth="1.6"
				strokeDasharray={look.dash}
			/>
		</svg>
	);
}

/** The custom property a canvas colour was read from. */
export function tokenOf(colour: keyof CanvasColours): string {
	return colour === 'loamTint'
		? 'loam-tint'
		: colour === 'rule'
			? 'rule-strong'
			: colour === 'paper'
				? 'sheet'
				: colour;
}
