import type { CanvasColours } from './canvas-colours.ts';
import { type FlatBox, type FlatShape, type NamePlace, namePlace, thinned } from './flat-shape.ts';
import { canvasPattern, type Look, PATTERN_PX } from './looks.tsx';
import { inTwo } from './name-lines.ts';

/** A field ready to be drawn; its points in px are kept for the scale they were last drawn at. */
export type Drawable = {
	readonly name: string;
	readonly flat: FlatShape;
	readonly look: Look;
	/** Part of a field: no name, and nothing where it is tiny. */
	readonly isPart: boolean;
	scale: number;
	pixels: readonly Float64Array[];
	place: NamePlace | null;
	/** The name as it may be written, in one line or in two, with its width in px. */
	written: readonly Writing[] | null;
};

type Writing = { readonly lines: readonly string[]; readonly width: number };

/** A canvas over a piece of the flat map: px of the whole earth's width, its corner there, pixels of the screen per px. */
export type Ground = {
	readonly pen: CanvasRenderingContext2D;
	readonly scale: number;
	readonly left: number;
	readonly top: number;
	readonly ratio: number;
	readonly colours: CanvasColours;
	readonly face: string;
	/** Thin outlines, where most fields are small. */
	readonly fine: boolean;
};

/** A field no larger than a square of this side, in px, shows no pattern and no broken outline. */
export const SMALL = 14;
/** Ground within a field that is smaller than this is left out, in px. */
const LEAST_PART = 6;
/** A field smaller than this is drawn as a dot of this side, or it could not be seen, in px. */
const DOT = 3;
const NAME_PX = 13;
const LINE_PX = 16;
/** A field is at least so many times as high as its name, or the name would hide it. */
const ROOM = 1.5;

/** Draws groups of fields, each group of one look, and over them the names that fit, in one part of the ground. */
export function drawFields(ground: Ground, groups: readonly (readonly Drawable[])[], part: FlatBox): void {
	const { pen, scale, left, top, ratio } = ground;
	pen.save();
	pen.setTransform(ratio, 0, 0, ratio, 0, 0);
	pen.beginPath();
	pen.rect(part.left - left, part.top - top, part.right - part.left, part.bottom - part.top);
	pen.clip();
	const seen: Drawable[] = [];
	for (const group of groups) {
		const inPart = group.filter(
			({ flat, isPart }) => meets(flat.box, scale, part) && !(isPart && flat.size * scale < LEAST_PART),
		);
		fillTogether(
			ground,
			inPart.filter((each) => isSmall(each, scale)),
			true,
		);
		const large = inPart.filter((each) => !isSmall(each, scale));
		fillTogether(ground, large, false);
		seen.push(...large);
	}
	for (const drawable of seen) if (!drawable.isPart) writeName(ground, drawable);
	pen.restore();
}

/** One path for all of them: they share a look. */
function fillTogether(ground: Ground, drawables: readonly Drawable[], small: boolean): void {
	const look = drawables[0]?.look;
	if (!look) return;
	const { pen, colours, fine } = ground;
	const colour = colours[look.colour];
	const pattern = small ? null : patternOf(look, colour, ground);
	pen.beginPath();
	for (const drawable of drawables) trace(ground, drawable, small);
	pen.fillStyle = pattern ?? colour;
	pen.globalAlpha = pattern ? 1 : look.fill;
	pen.fill();
	pen.globalAlpha = fine ? 0.75 : 1;
	pen.strokeStyle = colour;
	pen.lineWidth = fine ? 1 : 1.5;
	pen.lineJoin = 'round';
	pen.setLineDash(look.dash && !small ? look.dash.split(' ').map(Number) : []);
	pen.stroke();
}

function trace({ pen, scale, left, top }: Ground, drawable: Drawable, small: boolean): void {
	const { size, box } = drawable.flat;
	if (size * scale < DOT) {
		const [x, y] = [((box.left + box.right) / 2) * scale - left, ((box.top + box.bottom) / 2) * scale - top];
		pen.rect(x - DOT / 2, y - DOT / 2, DOT, DOT);
		return;
	}
	if (drawable.scale !== scale) {
		drawable.scale = scale;
		drawable.pixels = drawable.flat.rings.map((ring) => thinned(ring, scale, small ? 2 : 1));
	}
	for (const ring of drawable.pixels) {
		pen.moveTo((ring[0] ?? 0) - left, (ring[1] ?? 0) - top);
		for (let at = 2; at < ring.length; at += 2) pen.lineTo((ring[at] ?? 0) - left, (ring[at + 1] ?? 0) - top);
		pen.closePath();
	}
}

/** A name stands on its field where it fits, in one line or in two. */
function writeName({ pen, scale, left, top, colours, face }: Ground, drawable: Drawable): void {
	const { box } = drawable.flat;
	if ((box.bottom - box.top) * scale < LINE_PX * ROOM || (box.right - box.left) * scale < 2 * NAME_PX) return;
	pen.font = `${NAME_PX}px ${face}`;
	drawable.place ??= namePlace(drawable.flat);
	drawable.written ??= writings(pen, drawable.name);
	const { x, y, width } = drawable.place;
	const fits = ({ lines, width: wide }: Writing) =>
		wide <= width * scale && lines.length * LINE_PX * ROOM <= (box.bottom - box.top) * scale;
	const written = drawable.written.find(fits);
	if (!written) return;
	const [middle, height] = [x * scale - left, written.lines.length * LINE_PX + 2];
	const above = y * scale - top - height / 2;
	pen.globalAlpha = 0.75;
	pen.fillStyle = colours.paper;
	pen.fillRect(middle - written.width / 2, above, written.width, height);
	pen.globalAlpha = 1;
	pen.fillStyle = colours.ink;
	pen.textAlign = 'center';
	pen.textBaseline = 'middle';
	for (const [line, text] of written.lines.entries()) pen.fillText(text, middle, above + 2 + (line + 0.5) * LINE_PX);
}

function writings(pen: CanvasRenderingContext2D, name: string): Writing[] {
	const width = (lines: readonly string[]) => Math.max(...lines.map((line) => pen.measureText(line).width)) + 6;
	return [[name], inTwo(name)].filter((lines) => lines.length > 0).map((lines) => ({ lines, width: width(lines) }));
}

const patterns = new Map<string, CanvasPattern | null>();

/** One pattern for all fields of a look, which stays where it is on the ground when the canvas moves. */
function patternOf(look: Look, colour: string, { ratio, left, top }: Ground): CanvasPattern | null {
	const key = `${look.pattern} ${look.fill} ${colour} ${ratio}`;
	const known = patterns.get(key);
	const pattern = known === undefined ? canvasPattern(look, colour, ratio) : known;
	patterns.set(key, pattern);
	const share = PATTERN_PX / Math.round(PATTERN_PX * ratio);
	pattern?.setTransform(new DOMMatrix([share, 0, 0, share, -left % PATTERN_PX, -top % PATTERN_PX]));
	return pattern;
}

function isSmall({ flat }: Drawable, scale: number): boolean {
	return flat.size * scale < SMALL;
}

/** An outline reaches a little beyond its field. */
function meets(box: FlatBox, scale: number, part: FlatBox): boolean {
	return (
		box.right * scale > part.left - 2 &&
		box.left * scale < part.right + 2 &&
		box.bottom * scale > part.top - 2 &&
		box.top * scale < part.bottom + 2
	);
}
