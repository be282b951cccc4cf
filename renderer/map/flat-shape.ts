import type { MultiPolygon, Polygon, Position } from 'geojson';

/** A box on the flat map; y grows southwards. */
export type FlatBox = { readonly left: number; readonly top: number; readonly right: number; readonly bottom: number };

/**
 * A boundary on the flat map, where the whole earth is the square from 0 to 1 (spherical Mercator, EPSG:3857, as the map
 * library lays the ground out). Outer rings run one way, holes the other, so that many may be filled as one path.
 */
export type FlatShape = {
	/** x and y in turn, without the closing repeat. */
	readonly rings: readonly Float64Array[];
	readonly box: FlatBox;
	/** Side of a square as large. */
	readonly size: number;
};

export function flatShape(geometry: Polygon | MultiPolygon): FlatShape {
	const polygons = geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
	const rings = polygons.flatMap((polygon) => polygon.map((ring, index) => flatRing(ring, index === 0)));
	const doubleArea = rings.reduce((sum, ring) => sum + doubleAreaOf(ring), 0);
	return { rings, box: boxOf(rings), size: Math.sqrt(Math.max(0, doubleArea) / 2) };
}

/** Latitude beyond which the flat map ends. */
const LAST_LATITUDE = 85.051_128_78;

export function flatX(lon: number): number {
	return lon / 360 + 0.5;
}

export function flatY(lat: number): number {
	const bounded = Math.max(-LAST_LATITUDE, Math.min(LAST_LATITUDE, lat));
	const sine = Math.sin((bounded * Math.PI) / 180);
	return 0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI);
}

function flatRing(ring: readonly Position[], outer: boolean): Float64Array {
	const [first, last] = [ring[0], ring.at(-1)];
	const closed = ring.length > 1 && first?.[0] === last?.[0] && first?.[1] === last?.[1];
	const points = closed ? ring.slice(0, -1) : ring;
	const flat = Float64Array.from(points.flatMap(([lon = 0, lat = 0]) => [flatX(lon), flatY(lat)]));
	return doubleAreaOf(flat) >= 0 === outer ? flat : backwards(flat);
}

function doubleAreaOf(ring: Float64Array): number {
	let sum = 0;
	let [x0, y0] = [ring.at(-2) ?? 0, ring.at(-1) ?? 0];
	const [baseX, baseY] = [x0, y0];
	for (let at = 0; at < ring.length; at += 2) {
		const [x1, y1] = [ring[at] ?? 0, ring[at + 1] ?? 0];
		sum += (x0 - baseX) * (y1 - baseY) - (x1 - baseX) * (y0 - baseY);
		[x0, y0] = [x1, y1];
	}
	return sum;
}

function backwards(ring: Float64Array): Float64Array {
	const turned = new Float64Array(ring.length);
	for (let at = 0; at < ring.length; at += 2) {
		turned[at] = ring[ring.length - 2 - at] ?? 0;
		turned[at + 1] = ring[ring.length - 1 - at] ?? 0;
	}
	return turned;
}

function boxOf(rings: readonly Float64Array[]): FlatBox {
	let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
	for (const ring of rings) {
		for (let at = 0; at < ring.length; at += 2) {
			const [x, y] = [ring[at] ?? 0, ring[at + 1] ?? 0];
			left = Math.min(left, x);
			right = Math.max(right, x);
			top = Math.min(top, y);
			bottom = Math.max(bottom, y);
		}
	}
	return { left, top, right, bottom };
}

/** A ring at a scale in px, without the points that would fall nearer than `least` px to the one before. */
export function thinned(ring: Float64Array, scale: number, least: number): Float64Array {
	const kept = new Float64Array(ring.length);
	let many = 0;
	let [lastX, lastY] = [Infinity, Infinity];
	for (let at = 0; at < ring.length; at += 2) {
		const [x, y] = [(ring[at] ?? 0) * scale, (ring[at + 1] ?? 0) * scale];
		if (Math.abs(x - lastX) < least && Math.abs(y - lastY) < least) continue;
		kept[many] = x;
		kept[many + 1] = y;
		many += 2;
		lastX = x;
		lastY = y;
	}
	return kept.slice(0, many);
}

/** Whether a place of the flat map lies on the ground of a shape: inside an outer ring and in none of its holes. */
export function covers({ rings, box }: FlatShape, x: number, y: number): boolean {
	if (x < box.left || x > box.right || y < box.top || y > box.bottom) return false;
	let inside = false;
	for (const ring of rings) {
		let [x0, y0] = [ring.at(-2) ?? 0, ring.at(-1) ?? 0];
		for (let at = 0; at < ring.length; at += 2) {
			const [x1, y1] = [ring[at] ?? 0, ring[at + 1] ?? 0];
			if (y1 > y !== y0 > y && x < ((x0 - x1) * (y - y1)) / (y0 - y1) + x1) inside = !inside;
			[x0, y0] = [x1, y1];
		}
	}
	return inside;
}

export type NamePlace = { readonly x: number; readonly y: number; readonly width: number };

/** Where a name stands best: the middle of the widest ground at half height, with that width. */
export function namePlace({ rings, box }: FlatShape): NamePlace {
	const y = (box.top + box.bottom) / 2;
	const crossings = rings.flatMap((ring) => crossingsOf(ring, y)).sort((a, b) => a - b);
	let best = { x: (box.left + box.right) / 2, y, width: 0 };
	for (let at = 0; at + 1 < crossings.length; at += 2) {
		const [from, to] = [crossings[at] ?? 0, crossings[at + 1] ?? 0];
		if (to - from > best.width) best = { x: (from + to) / 2, y, width: to - from };
	}
	return best;
}

function crossingsOf(ring: Float64Array, y: number): number[] {
	const found: number[] = [];
	let [x0, y0] = [ring.at(-2) ?? 0, ring.at(-1) ?? 0];
	for (let at = 0; at < ring.length; at += 2) {
		const [x1, y1] = [ring[at] ?? 0, ring[at + 1] ?? 0];
		if (y1 > y !== y0 > y) found.push(((x0 - x1) * (y - y1)) / (y0 - y1) + x1);
		[x0, y0] = [x1, y1];
	}
	return found;
}
