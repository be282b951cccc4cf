import type { LooseBoundary } from './boundary.ts';

/** Longitude and latitude in WGS 84 degrees. */
export type LonLat = readonly [lon: number, lat: number];
/** Rings without their closing repeat; outer ring first, then its holes. */
export type Outline = readonly (readonly (readonly LonLat[])[])[];
export type At = { readonly part: number; readonly ring: number; readonly point: number };

/** A boundary while it is drawn: closed parts, the ring that is still open, and every step back. */
export type Draft = {
	readonly outline: Outline;
	readonly open: readonly LonLat[] | null;
	readonly past: readonly { readonly outline: Outline; readonly open: readonly LonLat[] | null }[];
};

export type DraftStep =
	| { readonly do: 'add'; readonly point: LonLat }
	| { readonly do: 'close' }
	/** A ring that is closed already; the hand stays free for the next. */
	| { readonly do: 'ring'; readonly points: readonly LonLat[] }
	| { readonly do: 'move'; readonly at: At; readonly to: LonLat }
	/** A point on the edge that leaves the one named. */
	| { readonly do: 'insert'; readonly after: At; readonly point: LonLat }
	| { readonly do: 'remove'; readonly at: At }
	| { readonly do: 'draw part' }
	| { readonly do: 'undo' };

/** A triangle is the least that encloses ground. */
const FEWEST = 3;

export function startDraft(boundary: LooseBoundary | null): Draft {
	return { outline: boundary ? outlineOf(boundary) : [], open: boundary ? null : [], past: [] };
}

/** The draft after a step; the same draft where the step is not possible. */
export function nextDraft(draft: Draft, step: DraftStep): Draft {
	const { outline, open, past } = draft;
	const after = (changed: { outline?: Outline; open?: readonly LonLat[] | null }): Draft => ({
		outline: changed.outline ?? outline,
		open: changed.open === undefined ? open : changed.open,
		past: [...past, { outline, open }],
	});
	switch (step.do) {
		case 'add':
			return open ? after({ open: [...open, step.point] }) : draft;
		case 'close':
			return open && open.length >= FEWEST ? after({ outline: [...outline, [open]], open: null }) : draft;
		case 'ring':
			return step.points.length >= FEWEST ? after({ outline: [...outline, [step.points]] }) : draft;
		case 'move':
			return ringAt(outline, step.at)?.[step.at.point]
				? after({ outline: replaced(outline, step.at, 1, [step.to]) })
				: draft;
		case 'insert':
			return ringAt(outline, step.after)
				? after({ outline: replaced(outline, { ...step.after, point: step.after.point + 1 }, 0, [step.point]) })
				: draft;
		case 'remove':
			return removed(draft, step.at, after);
		case 'draw part':
			return open ? draft : after({ open: [] });
		case 'undo': {
			const before = past.at(-1);
			return before ? { ...before, past: past.slice(0, -1) } : draft;
		}
	}
}

/** The last point but two takes its ring with it: a hole is filled, a part goes. The last outer ring stays. */
function removed(draft: Draft, at: At, after: (changed: { outline: Outline }) => Draft): Draft {
	const ring = ringAt(draft.outline, at);
	if (!ring) return draft;
	if (ring.length > FEWEST) return after({ outline: replaced(draft.outline, at, 1, []) });
	if (at.ring > 0) {
		return after({
			outline: draft.outline.map((rings, part) => (part === at.part ? rings.toSpliced(at.ring, 1) : rings)),
		});
	}
	return draft.outline.length > 1 ? after({ outline: draft.outline.toSpliced(at.part, 1) }) : draft;
}

function ringAt(outline: Outline, at: At): readonly LonLat[] | undefined {
	return outline[at.part]?.[at.ring];
}

function replaced(outline: Outline, at: At, many: number, points: readonly LonLat[]): Outline {
	return outline.map((rings, part) =>
		part === at.part
			? rings.map((ring, index) => (index === at.ring ? ring.toSpliced(at.point, many, ...points) : ring))
			: rings,
	);
}

/** Metres of one degree of latitude, near enough for the size of a tree. */
const METRES_PER_DEGREE = 111_320;
const ROUND_POINTS = 32;

/** A ring of 32 points round a place with the ground of a circle of that width. */
export function roundAt([lon, lat]: LonLat, widthM: number): readonly LonLat[] {
	const turn = (2 * Math.PI) / ROUND_POINTS;
	const radius = ((widthM / 2) * Math.sqrt(turn / Math.sin(turn))) / METRES_PER_DEGREE;
	const eastwards = radius / Math.cos((lat * Math.PI) / 180);
	return Array.from({ length: ROUND_POINTS }, (_, point): LonLat => {
		return [lon + eastwards * Math.cos(point * turn), lat + radius * Math.sin(point * turn)];
	});
}

export function outlineOf(boundary: LooseBoundary): Outline {
	const parts = (boundary.type === 'Polygon' ? [boundary.coordinates] : boundary.coordinates) as Outline;
	return parts.map((rings) =>
		rings.map((ring) => {
			const points = ring.map(([lon, lat]): LonLat => [lon, lat]);
			const [first, last] = [points[0], points.at(-1)];
			return first && last && first[0] === last[0] && first[1] === last[1] ? points.slice(0, -1) : points;
		}),
	);
}

/** The boundary as it would be saved; null while it encloses nothing. */
export function boundaryOf(outline: Outline) {
	const [only, ...more] = outline.map((rings) =>
		rings.map((ring) => [...ring, ...ring.slice(0, 1)].map((point) => [...point])),
	);
	if (!only) return null;
	return more.length === 0
		? { type: 'Polygon' as const, coordinates: only }
		: { type: 'MultiPolygon' as const, coordinates: [only, ...more] };
}

export type Pixel = { readonly x: number; readonly y: number };
/** A neighbour's ring on the screen beside what it is on the ground. */
export type SnapRing = { readonly points: readonly LonLat[]; readonly pixels: readonly Pixel[] };

/** The nearest corner of a neighbour within reach, else the nearest place on its edge; null where none is near. */
export function snapped(pixel: Pixel, rings: readonly SnapRing[], reachPx: number): LonLat | null {
	let corner: { distance: number; at: LonLat } | null = null;
	let edge: { distance: number; at: LonLat } | null = null;
	for (const { points, pixels } of rings) {
		for (const [index, from] of pixels.entries()) {
			const here = points[index];
			const next = (index + 1) % pixels.length;
			const [to, there] = [pixels[next], points[next]];
			if (!here || !to || !there) continue;
			const away = Math.hypot(from.x - pixel.x, from.y - pixel.y);
			if (away <= (corner?.distance ?? reachPx)) corner = { distance: away, at: here };
			const share = shareAlong(pixel, from, to);
			const off = Math.hypot(from.x + share * (to.x - from.x) - pixel.x, from.y + share * (to.y - from.y) - pixel.y);
			if (off <= (edge?.distance ?? reachPx)) edge = { distance: off, at: between(here, there, share) };
		}
	}
	return corner?.at ?? edge?.at ?? null;
}

/** How far along a line the place nearest to a pixel lies, from 0 to 1. */
export function shareAlong(pixel: Pixel, from: Pixel, to: Pixel): number {
	const [dx, dy] = [to.x - from.x, to.y - from.y];
	const squared = dx * dx + dy * dy;
	if (squared === 0) return 0;
	return Math.max(0, Math.min(1, ((pixel.x - from.x) * dx + (pixel.y - from.y) * dy) / squared));
}

export function between([lon, lat]: LonLat, [toLon, toLat]: LonLat, share: number): LonLat {
	return [lon + share * (toLon - lon), lat + share * (toLat - lat)];
}
