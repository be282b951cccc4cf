import L from 'leaflet';
import type { CanvasColours } from './canvas-colours.ts';
import { type Drawable, drawFields, SMALL } from './draw-fields.ts';
import { covers, type FlatBox, flatShape } from './flat-shape.ts';
import { lookOf } from './looks.tsx';
import type { MapField } from './map-field.ts';

/** All fields of a map on one canvas. */
export type FieldSheet = {
	readonly show: (fields: readonly MapField[], colours: CanvasColours) => void;
	/** The field drawn topmost at a place of the map's box, in px; one too small to hit counts from a few px away. */
	readonly at: (pixel: L.Point) => MapField | null;
	readonly boundsOf: (id: string) => L.LatLngBounds | null;
	/** Around all fields; null where there are none. */
	readonly bounds: () => L.LatLngBounds | null;
};

/** Drawn beyond the edge of the view, in px. */
const MARGIN = 100;
/** The canvas moves in steps of as many px, which are whole pixels of the screen at the usual scalings (125 %, 150 %, …). */
const GRID = 20;
/** Fields filled as one path; more of them would make the browser sort too many edges at a time. */
const TOGETHER = 50;
/** How far beside a tiny field the pointer still means it, in px. */
const REACH = 4;

type Shape = Drawable & { readonly field: MapField };
/** What is on the canvas: the box in px of the whole earth at a scale, and pixels of the screen per px. */
type Drawn = { readonly scale: number; readonly box: FlatBox; readonly ratio: number };

/**
 * Draws fields on one canvas over a map. Moving the map moves what is drawn, and only the edge that comes into view is
 * drawn anew, so that ten thousand fields stay smooth.
 */
export function fieldSheet(map: L.Map): FieldSheet {
	const canvas = document.createElement('canvas');
	map.getPanes().overlayPane.append(canvas);
	const pen = canvas.getContext('2d');
	let shapes: readonly Shape[] = [];
	let byId: ReadonlyMap<string, Shape> = new Map();
	let groups: readonly Shape[][] = [];
	let colours: CanvasColours | null = null;
	let drawn: Drawn | null = null;
	let usualSize = 0;

	map.on('moveend viewreset resize', () => draw());
	map.on('move zoom', () => {
		if (drawn && (drawn.scale !== scaleOf(map) || !within(viewOf(map), drawn.box))) draw();
	});

	function draw(): void {
		if (!pen || !colours) return;
		const now = toDraw(map);
		const bare = drawn && canMove(drawn, now) ? moved(pen, drawn, now) : cleared(canvas, now);
		drawn = now;
		const origin = map.getPixelOrigin();
		L.DomUtil.setPosition(canvas, L.point(now.box.left - origin.x, now.box.top - origin.y));
		const face = getComputedStyle(map.getContainer()).fontFamily;
		const { scale, ratio, box } = now;
		const ground = { pen, scale, ratio, colours, face, fine: usualSize * scale < 2 * SMALL };
		for (const part of bare) drawFields({ ...ground, left: box.left, top: box.top }, groups, part);
	}

	return {
		show(fields, nowColours) {
			colours = nowColours;
			shapes = fields.map((field) => {
				const known = byId.get(field.id);
				const flat = known?.field.geometry === field.geometry ? known.flat : flatShape(field.geometry);
				return {
					field,
					name: field.name,
					flat,
					look: lookOf(field.shade),
					isPart: field.partOf !== undefined,
					scale: 0,
					pixels: [],
					place: null,
					written: null,
				};
			});
			byId = new Map(shapes.map((shape) => [shape.field.id, shape]));
			groups = [...Map.groupBy(shapes, ({ look }) => JSON.stringify(look)).values()].flatMap(inGroups);
			const sizes = shapes
				.filter(({ isPart }) => !isPart)
				.map(({ flat }) => flat.size)
				.sort((a, b) => a - b);
			usualSize = sizes[Math.floor(sizes.length / 2)] ?? 0;
			drawn = null;
			draw();
		},
		at(pixel) {
			const scale = scaleOf(map);
			const { left, top } = viewOf(map);
			const [x, y] = [(left + pixel.x) / scale, (top + pixel.y) / scale];
			const under = shapes.findLast(({ flat }) => covers(flat, x, y)) ?? nearest(shapes, x, y, REACH / scale);
			return under?.field ?? null;
		},
		boundsOf(id) {
			const shape = byId.get(id);
			return shape ? boundsOf(shape.flat.box) : null;
		},
		bounds() {
			const all = L.latLngBounds([]);
			for (const { flat } of shapes) all.extend(boundsOf(flat.box));
			return all.isValid() ? all : null;
		},
	};
}

function inGroups(shapes: readonly Shape[]): Shape[][] {
	const many = Math.ceil(shapes.length / TOGETHER);
	return Array.from({ length: many }, (_, group) => shapes.slice(group * TOGETHER, (group + 1) * TOGETHER));
}

/** Px of the whole earth's width at the map's zoom. */
function scaleOf(map: L.Map): number {
	return L.CRS.EPSG3857.scale(map.getZoom());
}

function viewOf(map: L.Map): FlatBox {
	const { min, max } = map.getPixelBounds();
	return { left: min?.x ?? 0, top: min?.y ?? 0, right: max?.x ?? 0, bottom: max?.y ?? 0 };
}

function toDraw(map: L.Map): Drawn {
	const view = viewOf(map);
	const left = Math.floor((view.left - MARGIN) / GRID) * GRID;
	const top = Math.floor((view.top - MARGIN) / GRID) * GRID;
	const { x: width, y: height } = map.getSize();
	const box = { left, top, right: left + width + 2 * MARGIN + GRID, bottom: top + height + 2 * MARGIN + GRID };
	return { scale: scaleOf(map), box, ratio: window.devicePixelRatio };
}

/** What is drawn may be moved where the same ground at the same scale moves by whole pixels of the screen. */
function canMove(before: Drawn, now: Drawn): boolean {
	const [dx, dy] = [now.box.left - before.box.left, now.box.top - before.box.top];
	const [width, height] = [widthOf(now.box), heightOf(now.box)];
	return (
		before.scale === now.scale &&
		before.ratio === now.ratio &&
		widthOf(before.box) === width &&
		heightOf(before.box) === height &&
		Math.abs(dx) < width &&
		Math.abs(dy) < height &&
		isWhole(dx * now.ratio) &&
		isWhole(dy * now.ratio)
	);
}

function isWhole(value: number): boolean {
	return Math.abs(value - Math.round(value)) < 1e-6;
}

/** Moves what is drawn; gives the edges that are still bare. */
function moved(pen: CanvasRenderingContext2D, before: Drawn, now: Drawn): FlatBox[] {
	const { left, top, right, bottom } = now.box;
	const [dx, dy] = [left - before.box.left, top - before.box.top];
	if (dx === 0 && dy === 0) return [];
	pen.save();
	pen.setTransform(1, 0, 0, 1, 0, 0);
	pen.globalCompositeOperation = 'copy';
	pen.drawImage(pen.canvas, Math.round(-dx * now.ratio), Math.round(-dy * now.ratio));
	pen.restore();
	const [from, to] = [left - Math.min(dx, 0), right - Math.max(dx, 0)];
	const edges = [
		{ left, top, right: from, bottom },
		{ left: to, top, right, bottom },
		{ left: from, top, right: to, bottom: top - Math.min(dy, 0) },
		{ left: from, top: bottom - Math.max(dy, 0), right: to, bottom },
	];
	return edges.filter((edge) => widthOf(edge) > 0 && heightOf(edge) > 0);
}

function cleared(canvas: HTMLCanvasElement, { box, ratio }: Drawn): FlatBox[] {
	canvas.width = Math.round(widthOf(box) * ratio);
	canvas.height = Math.round(heightOf(box) * ratio);
	canvas.style.width = `${widthOf(box)}px`;
	canvas.style.height = `${heightOf(box)}px`;
	return [box];
}

function nearest(shapes: readonly Shape[], x: number, y: number, reach: number): Shape | null {
	let best: Shape | null = null;
	let away = reach;
	for (const shape of shapes) {
		const { left, top, right, bottom } = shape.flat.box;
		const distance = Math.hypot(Math.max(left - x, 0, x - right), Math.max(top - y, 0, y - bottom));
		if (distance >= away || Math.max(right - left, bottom - top) > 2 * reach) continue;
		best = shape;
		away = distance;
	}
	return best;
}

function within(inner: FlatBox, outer: FlatBox): boolean {
	return (
		inner.left >= outer.left && inner.top >= outer.top && inner.right <= outer.right && inner.bottom <= outer.bottom
	);
}

function widthOf({ left, right }: FlatBox): number {
	return right - left;
}

function heightOf({ top, bottom }: FlatBox): number {
	return bottom - top;
}

function boundsOf({ left, top, right, bottom }: FlatBox): L.LatLngBounds {
	const corner = (x: number, y: number) => L.CRS.EPSG3857.pointToLatLng(L.point(x, y).multiplyBy(256), 0);
	return L.latLngBounds(corner(left, bottom), corner(right, top));
}
