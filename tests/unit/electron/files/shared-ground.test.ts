import { expect, test } from 'vitest';
import { geometryOf, polygonsOf } from '../../../../electron/files/geometry-of.ts';
import { watchGround } from '../../../../electron/files/shared-ground.ts';
import type { PackedRecord } from '../../../../electron/reader/messages.ts';
import { findOverlaps } from '../../../../shared/core/geometry/overlap.ts';
import { seededRandom } from '../../seeded-random.ts';

/** Squares of about 100 m strewn so thickly that many lie on others; every tenth stands twice. */
function strewn(count: number): PackedRecord[] {
	const random = seededRandom(7);
	let last = [0, 0];
	return Array.from({ length: count }, (_, index) => {
		if (index % 10 !== 9) last = [10 + random() * 0.05, 52 + random() * 0.05];
		const [lon = 0, lat = 0] = last;
		const [width, height] = [0.0015, 0.0009];
		const corners = [lon, lat, lon + width, lat, lon + width, lat + height, lon, lat + height, lon, lat];
		return {
			record: index + 1,
			rings: [[5]],
			points: Float64Array.from(corners),
			values: [],
			planarAreaM2: null,
			measured: null,
			findings: [],
			refused: index % 50 === 3 ? 'it has no boundary' : null,
			repair: null,
		};
	});
}

test.each([40, 499, 500, 1_700])('%i records: the pairs are those of all compared at once', async (count) => {
	const records = strewn(count);
	const watch = watchGround();
	for (const record of records) watch.take(record);
	const { overlaps, warnings } = await watch.compare();
	const fields = records
		.filter(({ refused }) => refused === null)
		.map((record) => ({ id: String(record.record), geometry: geometryOf(polygonsOf(record)) }));
	const expected = findOverlaps(fields).map(({ one, other, m2, same }) => [Number(one), Number(other), m2, same]);
	expect(expected.length).toBeGreaterThan(0);
	expect(overlaps.map(({ one, other, m2, same }) => [one, other, m2, same])).toEqual(expected);
	expect(warnings).toEqual([]);
});

test('above 20,000 boundaries nothing is compared, and that is said', async () => {
	const [record] = strewn(1);
	if (!record) throw new Error('no record');
	const watch = watchGround();
	for (let number = 1; number <= 20_001; number++) watch.take({ ...record, record: number });
	const { overlaps, warnings } = await watch.compare();
	expect(overlaps).toEqual([]);
	expect(warnings.map(({ code }) => code)).toEqual(['records.notCompared']);
});
