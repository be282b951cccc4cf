import fc from 'fast-check';
import { expect, test } from 'vitest';
import { localPlane, type PlanePoint } from '../../../../../shared/core/geometry/local-plane.ts';
import { measure } from '../../../../../shared/core/geometry/polygon-area.ts';
import { repairBoundary } from '../../../../../shared/core/geometry/repair-boundary.ts';

const plane = localPlane([10, 52]);
type Corner = readonly [eastM: number, northM: number];

function ringOf(corners: readonly Corner[]): number[][] {
	return [...corners, ...corners.slice(0, 1)].map(([x, y]) => plane.toDegrees({ x, y }));
}

function polygon(...rings: readonly (readonly Corner[])[]) {
	return { type: 'Polygon' as const, coordinates: rings.map(ringOf) };
}

function areaM2(geometry: { readonly type: string; readonly coordinates?: unknown } | null): number {
	const measured = measure({ geometry: geometry ?? { type: 'none' } });
	if (!measured.ok) throw new Error(JSON.stringify(measured.problem));
	return measured.value.areaHa * 10_000;
}

const square: readonly Corner[] = [
	[0, 0],
	[200, 0],
	[200, 200],
	[0, 200],
];

test('a sound boundary is left alone', () => {
	expect(repairBoundary(polygon(square))).toEqual({ geometry: null, did: [], left: [] });
});

test('repeated points go, and the other corners keep their coordinates to the last digit', () => {
	const { geometry, did } = repairBoundary(polygon([...square.slice(0, 2), ...square.slice(1)]));
	expect(did).toEqual(['a repeated point dropped']);
	expect(geometry).toEqual(polygon(square));
});

test('a narrow spike is cut off, a tip of half a metre and more is left as the field’s own', () => {
	const spiked = repairBoundary(
		polygon([...square.slice(0, 2), [200, 100], [260, 100.1], [200, 100.2], ...square.slice(2)]),
	);
	expect(spiked.did).toEqual(['a spike cut off']);
	expect(areaM2(spiked.geometry)).toBeCloseTo(40_000, 0);
	const tip = repairBoundary(
		polygon([...square.slice(0, 2), [200, 100], [280, 100.4], [200, 100.8], ...square.slice(2)]),
	);
	expect(tip.geometry).toBeNull();
	expect(tip.left).toEqual(['a sharp tip more than 0.5 m wide may be the field’s own']);
});

test('there and back along one line: nothing is left of the line', () => {
	const line: readonly Corner[] = [
		[0, 0],
		[100, 0],
		[200, 0],
		[100, 0],
	];
	expect(repairBoundary(polygon(line))).toEqual({ geometry: null, did: [], left: ['nothing would be left of it'] });
});

test('two loops of a ring are taken apart: the ground of both counts, not their difference', () => {
	// Two hexagons of 3,200 m² each drawn in one go through their common point: shoelace 0.
	const eight: readonly Corner[] = [
		[-2, -1],
		[-40, -20],
		[-80, -20],
		[-80, 20],
		[-40, 20],
		[2, -1],
		[40, -20],
		[80, -20],
		[80, 20],
		[40, 20],
	];
	const repaired = repairBoundary(polygon(eight));
	expect(repaired.did).toEqual(['a crossing untangled']);
	expect(areaM2(repaired.geometry)).toBeCloseTo(slabArea(eight).covered, 0);
	expect(areaM2(repaired.geometry)).toBeGreaterThan(4_000);
});

test('a figure of eight of four corners is not repaired: two corners may stand in the wrong order', () => {
	const bowTie: readonly Corner[] = [
		[0, 0],
		[200, 200],
		[200, 0],
		[0, 200],
	];
	const { geometry, left } = repairBoundary(polygon(bowTie));
	expect(geometry).toBeNull();
	expect(left).toEqual([
		'two corners may stand in the wrong order: with its loops as drawn it has 20000 m², with them exchanged 40000 m²',
	]);
});

test('ground inside an outline twice is not repaired: it may be a hole', () => {
	const loopInside: readonly Corner[] = [
		[0, 0],
		[200, 0],
		[200, 200],
		[100, 200],
		[100, 50],
		[50, 50],
		[50, 150],
		[150, 150],
		[150, 180],
		[0, 180],
	];
	const { geometry, left } = repairBoundary(polygon(loopInside));
	expect(geometry).toBeNull();
	expect(left[0]).toMatch(/^its outline goes round \d+ m² twice/);
});

test('a hole across the outer boundary, and a part inside another, are not repaired', () => {
	const hole: readonly Corner[] = [
		[150, 50],
		[250, 50],
		[250, 100],
		[150, 100],
	];
	expect(repairBoundary(polygon(square, hole))).toMatchObject({
		geometry: null,
		left: [expect.stringMatching(/^a hole crosses/)],
	});
	const inner: readonly Corner[] = [
		[50, 50],
		[100, 50],
		[100, 100],
		[50, 100],
	];
	const both = { type: 'MultiPolygon', coordinates: [[ringOf(square)], [ringOf(inner)]] };
	expect(repairBoundary(both)).toMatchObject({
		geometry: null,
		left: [expect.stringMatching(/^one part lies inside/)],
	});
});

test('parts that overlap are joined, and slivers beside a field are dropped', () => {
	const beside = square.map(([x, y]): Corner => [x + 150, y]);
	const joined = repairBoundary({ type: 'MultiPolygon', coordinates: [[ringOf(square)], [ringOf(beside)]] });
	expect(joined.did).toEqual(['parts that overlap joined']);
	expect(areaM2(joined.geometry)).toBeCloseTo(70_000, 0);
	const sliver: readonly Corner[] = [
		[300, 0],
		[400, 0],
		[400, 0.3],
		[300, 0.3],
	];
	const dropped = repairBoundary({ type: 'MultiPolygon', coordinates: [[ringOf(square)], [ringOf(sliver)]] });
	expect(dropped.did).toEqual(['a part less than 0.5 m wide dropped']);
	expect(dropped.geometry).toEqual(polygon(square));
	expect(repairBoundary(polygon(sliver)).geometry).toBeNull();
});

/**
 * Ground of a ring by slabs between the abscissas of all corners and crossings, where no edges cross: the winding number is
 * counted up from below, each strip is a trapezium. Shares no code with the clipping library.
 */
function slabArea(ring: readonly Corner[]): { covered: number; evenOdd: number; most: number } {
	const edges = ring.map((from, index) => ({ from, to: ring[(index + 1) % ring.length] ?? from }));
	const stops = ring.map(([x]) => x);
	for (const [index, one] of edges.entries()) {
		for (const other of edges.slice(index + 1)) {
			const [ax, ay] = [one.to[0] - one.from[0], one.to[1] - one.from[1]];
			const [bx, by] = [other.to[0] - other.from[0], other.to[1] - other.from[1]];
			const turn = ax * by - ay * bx;
			const [cx, cy] = [other.from[0] - one.from[0], other.from[1] - one.from[1]];
			const share = (cx * by - cy * bx) / turn;
			if (turn !== 0 && share >= 0 && share <= 1) stops.push(one.from[0] + share * ax);
		}
	}
	stops.sort((one, other) => one - other);
	let [covered, evenOdd, most] = [0, 0, 0];
	for (const [index, west] of stops.slice(0, -1).entries()) {
		const east = stops[index + 1] ?? west;
		const middle = (west + east) / 2;
		const across = edges
			.filter(({ from, to }) => Math.min(from[0], to[0]) < middle && Math.max(from[0], to[0]) > middle)
			.map(({ from, to }) => ({
				y: from[1] + ((middle - from[0]) / (to[0] - from[0])) * (to[1] - from[1]),
				way: Math.sign(to[0] - from[0]),
			}))
			.sort((one, other) => one.y - other.y);
		let winding = 0;
		for (const [at, { y, way }] of across.slice(0, -1).entries()) {
			winding += way;
			const strip = ((across[at + 1]?.y ?? y) - y) * (east - west);
			if (winding !== 0) covered += strip;
			if (winding % 2 !== 0) evenOdd += strip;
			most = Math.max(most, Math.abs(winding));
		}
	}
	return { covered, evenOdd, most };
}

const corner = fc.tuple(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 0, max: 300 }));

test('random rings: what is untangled covers what an independent count of winding numbers covers, and crosses no more', () => {
	const tally = { untangled: 0, refused: 0 };
	fc.assert(
		fc.property(fc.uniqueArray(corner, { minLength: 5, maxLength: 9, selector: ([x, y]) => `${x} ${y}` }), (ring) => {
			const { geometry, did } = repairBoundary(polygon(ring));
			const { covered, evenOdd } = slabArea(ring);
			const untangled = did.some((say) => say.includes('untangled'));
			tally[untangled ? 'untangled' : 'refused']++;
			// Spikes and slivers of up to half a metre may go as well: their ground is the difference that is allowed.
			const slack = untangled ? 0.25 * perimeter(ring) * (did.length - 1) + 0.5 : Number.POSITIVE_INFINITY;
			const found = untangled ? areaM2(geometry) : covered;
			expect(Math.abs(found - covered)).toBeLessThan(slack);
			const twice = untangled && did.length === 1 ? covered - evenOdd : 0;
			expect(twice).toBeLessThan(0.5);
			expect(untangled ? repairBoundary(geometry ?? { type: 'none' }).did : []).toEqual([]);
		}),
		{ numRuns: 2_000, seed: 20261128 },
	);
	// Random scribbles seldom have one meaning; the seed is kept so that both kinds are met.
	expect(tally.untangled).toBeGreaterThan(20);
	expect(tally.refused).toBeGreaterThan(500);
});

function perimeter(ring: readonly Corner[]): number {
	const points: PlanePoint[] = ring.map(([x, y]) => ({ x, y }));
	return points.reduce((sum, { x, y }, index) => {
		const next = points[(index + 1) % points.length] ?? { x, y };
		return sum + Math.hypot(next.x - x, next.y - y);
	}, 0);
}

test('a comb of a thousand spikes is no slip of the hand', () => {
	const comb = Array.from({ length: 1000 }, (_, spike): Corner[] => [
		[spike * 3, 200],
		[spike * 3 + 0.1, 260],
		[spike * 3 + 0.2, 200],
	]).flat();
	const { left } = repairBoundary(polygon([[0, 0], [3000, 0], ...comb.toReversed()]));
	expect(left).toContain('it has 100 spikes or more: that is no slip of the hand');
});
