import { KM_PER_MILE, M_PER_FOOT } from '../../shared/core/sprayers/us-customary.ts';
import { figure } from '../format.ts';
import { asGeometry, type LooseBoundary } from '../map/boundary.ts';
import { type FlatBox, flatShape, namePlace, thinned } from '../map/flat-shape.ts';
import { inTwo } from '../map/name-lines.ts';
import { type Units, unitsIn } from '../units.ts';

/** A field as it goes on the paper: its name, a second line such as its area, its boundary. */
export type PaperField = { readonly name: string; readonly second: string; readonly geometry: LooseBoundary };

export type Lettering = {
	readonly x: number;
	readonly y: number;
	readonly size: number;
	readonly lines: readonly string[];
};

/** A map on one sheet of A4; lengths in mm of paper. */
export type MapLayout = {
	readonly broad: boolean;
	readonly width: number;
	readonly height: number;
	/** 1 mm of paper for so many mm of ground. */
	readonly scale: number;
	readonly outlines: readonly string[];
	readonly names: readonly (Lettering | null)[];
	/** Fields too small for their name: their number on the map, in order. */
	readonly numbered: readonly number[];
	/** The bar of the scale: what it stands for, `500 m` or `1 mi`, and how long it is. */
	readonly bar: { readonly metres: number; readonly length: string; readonly mm: number };
	/** Any other ground at the same scale. */
	readonly outlineOf: (geometry: LooseBoundary) => string;
};

/** Room for the map between head and legend on A4 with margins of 10 mm. */
const UPRIGHT = { width: 190, height: 218 };
const BROAD = { width: 277, height: 138 };
/** Round scales, as maps have them. */
const MANTISSAS = [1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5];
/** Width of the flat map at the equator: 2 π × 6,378,137 m (EPSG:3857). */
const EARTH_M = 2 * Math.PI * 6_378_137;
/** More numbers than this fill sheets, and cover the map; the register has the names. */
export const MOST_NUMBERED = 240;
/** Sizes of letters, the largest first. */
const SIZES = [2.9, 2.4, 2];
/** Mean width of a letter for its size, a little more than that of the face. */
const LETTER = 0.56;
const LEADING = 1.12;
/** Points nearer than this are one on paper. */
const FINEST = 0.08;

/** Lays fields out on the sheet: the way of the paper that shows them larger, at the next round scale. */
export function mapLayout(fields: readonly PaperField[], units: Units = unitsIn.metric): MapLayout {
	const shapes = fields.map(({ geometry }) => flatShape(asGeometry(geometry)));
	const box = around(shapes.map((shape) => shape.box));
	// On the flat map a metre grows with 1 ÷ cos latitude; 1 ÷ cosh of the ordinate is that cosine.
	const metres = EARTH_M / Math.cosh(Math.PI * (1 - box.top - box.bottom));
	const [wide, high] = [(box.right - box.left) * metres, (box.bottom - box.top) * metres];
	const scaleOn = (room: typeof BROAD) => Math.max(wide / room.width, high / room.height) * 1000;
	const broad = scaleOn(BROAD) < scaleOn(UPRIGHT);
	const room = broad ? BROAD : UPRIGHT;
	const scale = roundUp(Math.max(scaleOn(room), 100));
	const factor = (metres * 1000) / scale;
	const height = Math.min(room.height, high * (1000 / scale) + 8);
	const [left, top] = [
		box.left * factor - (room.width - wide * (1000 / scale)) / 2,
		box.top * factor - (height - high * (1000 / scale)) / 2,
	];
	const outlineOf = (geometry: LooseBoundary) =>
		flatShape(asGeometry(geometry))
			.rings.map((ring) => pathOf(thinned(ring, factor, FINEST), left, top))
			.join('');
	const numbered: number[] = [];
	const names = shapes.map((shape, index): Lettering | null => {
		const place = namePlace(shape);
		const [x, y] = [place.x * factor - left, place.y * factor - top];
		const high1 = (shape.box.bottom - shape.box.top) * factor;
		const found = lettering(fields[index], place.width * factor, high1);
		if (found) return { ...found, x, y };
		numbered.push(index);
		return { x, y, size: 1.9, lines: [String(numbered.length)] };
	});
	if (numbered.length > MOST_NUMBERED) for (const index of numbered) names[index] = null;
	return {
		...{ broad, scale, outlineOf, names, numbered, height, width: room.width },
		outlines: fields.map(({ geometry }) => outlineOf(geometry)),
		bar: barFor(scale, units),
	};
}

/** The largest letters in which the name stands on its field, with its second line if there is room. */
function lettering(
	field: PaperField | undefined,
	width: number,
	height: number,
): { size: number; lines: readonly string[] } | null {
	if (!field) return null;
	const names = [[field.name], inTwo(field.name)].filter((lines) => lines.length > 0);
	for (const extra of [[field.second], []]) {
		for (const size of SIZES) {
			for (const name of names) {
				const lines = [...name, ...extra].filter((line) => line !== '');
				const wide = Math.max(...lines.map((line) => line.length)) * LETTER * size;
				if (wide <= width && lines.length * size * LEADING * 1.2 <= height) return { size, lines };
			}
		}
	}
	return null;
}

function pathOf(ring: Float64Array, left: number, top: number): string {
	const points: string[] = [];
	for (let at = 0; at < ring.length; at += 2) {
		points.push(`${((ring[at] ?? 0) - left).toFixed(2)} ${((ring[at + 1] ?? 0) - top).toFixed(2)}`);
	}
	return points.length === 0 ? '' : `M${points.join('L')}Z`;
}

function around(boxes: readonly FlatBox[]): FlatBox {
	return {
		left: Math.min(...boxes.map(({ left }) => left)),
		top: Math.min(...boxes.map(({ top }) => top)),
		right: Math.max(...boxes.map(({ right }) => right)),
		bottom: Math.max(...boxes.map(({ bottom }) => bottom)),
	};
}

function roundUp(scale: number): number {
	const power = 10 ** Math.floor(Math.log10(scale));
	return (MANTISSAS.find((mantissa) => mantissa * power >= scale * 0.9999) ?? 10) * power;
}

/** The longest round length of at most 50 mm. */
function barFor(scale: number, { units }: Units): MapLayout['bar'] {
	const most = (50 * scale) / 1000;
	const [short, long] = units === 'metric' ? METRIC : US_CUSTOMARY;
	const unit = most >= long.metres ? long : short;
	const shown = most / unit.metres;
	const power = 10 ** Math.floor(Math.log10(shown));
	const length = ([5, 2, 1].find((mantissa) => mantissa * power <= shown) ?? 1) * power;
	const metres = length * unit.metres;
	return { metres, length: `${figure(length)} ${unit.name}`, mm: (metres * 1000) / scale };
}

const METRIC = [
	{ name: 'm', metres: 1 },
	{ name: 'km', metres: 1000 },
] as const;
const US_CUSTOMARY = [
	{ name: 'ft', metres: M_PER_FOOT },
	{ name: 'mi', metres: KM_PER_MILE * 1000 },
] as const;
