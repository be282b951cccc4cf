import { expect, test } from 'vitest';
import { moveStrip } from '../../../../../shared/core/geometry/move-strip.ts';
import { noSprayStrip } from '../../../../../shared/core/geometry/no-spray-strip.ts';
import { polygonAt } from './metres.ts';

type Corner = readonly [number, number];
const field = (...ring: Corner[]) => polygonAt(ring);
const lay = field([0, 0], [0, 200], [300, 200], [300, 0]);

/** A strip of 6 m along chosen sides of the field, moved to another boundary: its area, or null. */
function moved(edges: number[], to: ReturnType<typeof field>) {
	const strip = noSprayStrip({ boundary: lay, label: 'ditch', widthM: 6, along: [{ edges }] });
	if (!strip.ok || !strip.value.geometry) throw new Error('no strip');
	const { geometry, areaM2 } = strip.value;
	const around = { label: 'ditch', widthM: 6, areaM2, withoutBefore: [], without: [] };
	const found = moveStrip({ from: lay, to, strip: geometry, ...around });
	return found.ok ? found.value && Math.round(found.value.areaM2) : found.problem.code;
}

test.each<[string, number[], ReturnType<typeof field>, number | null]>([
	['the same boundary', [0], lay, 1200],
	['the same boundary, begun at another corner', [0], field([300, 0], [0, 0], [0, 200], [300, 200]), 1200],
	['the side digitised again, 2 m out', [0], field([-2, 0], [-2, 200], [300, 200], [300, 0]), 1200],
	['the side with one more point', [0], field([0, 0], [-1, 90], [0, 200], [300, 200], [300, 0]), 1200],
	['another side moved', [0], field([0, 0], [0, 200], [260, 200], [260, 0]), 1200],
	['two sides, one corner', [0, 1], field([-1, 0], [-1, 201], [300, 201], [300, 0]), 2976],
	['the side moved 20 m: no one can tell', [0], field([20, 0], [20, 200], [300, 200], [300, 0]), null],
	['the side cut to half', [0], field([0, 100], [0, 200], [300, 200], [300, 0]), null],
])('%s', (_, edges, to, m2) => {
	const found = moved(edges, to);
	if (m2 === null) expect(found).toBeNull();
	else expect(Math.abs(Number(found) - m2)).toBeLessThan(15);
});
