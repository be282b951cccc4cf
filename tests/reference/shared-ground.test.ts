import type { Polygon, Position } from 'geojson';
import proj4 from 'proj4';
import { expect, test } from 'vitest';
import { findOverlaps, overlapM2 } from '../../shared/core/geometry/overlap.ts';
import { jts, type Overlay, type Reader } from '../jts.ts';
import { seededRandom } from '../unit/seeded-random.ts';

/*
 * Ground that two fields share, against the overlay of the JTS Topology Suite (in its JavaScript translation, jsts 2.12.1) on
 * an azimuthal equidistant plane about the fields (proj4). Neither the plane nor the geometry is the program's own.
 */
const AT: readonly [lon: number, lat: number] = [-1.4, 53.2];
const plane = proj4(`+proj=aeqd +lat_0=${AT[1]} +lon_0=${AT[0]} +datum=WGS84 +units=m`);

type Ring = readonly (readonly [number, number])[];

/** A winding field about a place, 4 to 30 ha. */
function field(random: () => number): Ring {
	const [x, y, corners] = [random() * 900, random() * 900, 6 + Math.floor(random() * 40)];
	return Array.from({ length: corners }, (_, corner): [number, number] => {
		const angle = (2 * Math.PI * corner) / corners;
		const radius = 120 + random() * 230;
		return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
	});
}

function closed(ring: Ring): Position[] {
	return [...ring, ring[0] ?? [0, 0]].map((point) => [...point]);
}

function inDegrees(ring: Ring): Polygon {
	return { type: 'Polygon', coordinates: [closed(ring).map((point) => plane.inverse(point as [number, number]))] };
}

test('300 pairs of fields share what JTS says, within 1 m² + 0.01 %', async () => {
	const [GeoJsonReader, OverlayOp] = await Promise.all([
		jts<Reader>('io/GeoJSONReader'),
		jts<Overlay>('operation/overlay/OverlayOp'),
	]);
	const reader = new GeoJsonReader();
	const random = seededRandom(53);
	let met = 0;
	for (let pair = 0; pair < 300; pair++) {
		const [one, other] = [field(random), field(random)];
		const [first, second] = [one, other].map((ring) => reader.read({ type: 'Polygon', coordinates: [closed(ring)] }));
		if (!first || !second) throw new Error('no fields');
		const expected = OverlayOp.intersection(first, second).getArea();
		const slack = 1 + 1e-4 * expected;
		const drawn = overlapM2(inDegrees(one), inDegrees(other));
		expect(Math.abs((drawn.ok ? drawn.value : Number.NaN) - expected)).toBeLessThan(slack);
		const fields = [one, other].map((ring, index) => ({ id: String(index), geometry: inDegrees(ring) }));
		expect(Math.abs((findOverlaps(fields, { leastM2: 1 })[0]?.m2 ?? 0) - expected)).toBeLessThan(slack);
		if (expected > 100) met++;
	}
	expect(met).toBeGreaterThan(100);
});
