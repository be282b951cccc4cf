import { expect, test } from 'vitest';
import { containersOf, type PlannedFill, pauseOf, spareOf } from '../../../renderer/pictures/fill.ts';
import { FillInput } from '../../../shared/contract/filling.ts';
import { fill } from '../../../shared/core/filling/fill.ts';

/** Five cans of 5 L into 1,000 L of mix; each takes 18 s to pour and 30 s to rinse. */
function filled(inflowLPerMin: number): PlannedFill {
	const can = { product: 'A', size: 5, unit: 'L', volumeL: 5 } as const;
	const given = { totalL: 1000, waterL: 975, inflowLPerMin, startL: 400, containers: [can, can, can, can, can] };
	const answer = fill(FillInput.parse({ ...given, closeReserveL: 100 }));
	if (!answer.ok) throw new Error(answer.problem.code);
	return answer.value;
}

test('every container of a fill is a stretch of its own, one after another', () => {
	// 400 L at 100 L/min: the first is opened after 240 s, each is in hand for 48 s.
	const fast = filled(100);
	expect(containersOf(fast).map(({ fromS, toS, rinseOnly }) => [fromS, toS, rinseOnly])).toEqual([
		[240, 288, false],
		[288, 336, false],
		[336, 384, false],
		[384, 432, false],
		[432, 480, false],
	]);
	expect([fast.fits, pauseOf(fast), spareOf(fast)]).toEqual([true, null, { fromS: 480, toS: 585 }]);
});

test('with a stop of the inlet, containers come back for their clean rinse', () => {
	const paused = filled(300);
	const spans = containersOf(paused);
	expect(spans.filter(({ rinseOnly }) => !rinseOnly).length).toBe(5);
	expect(spans.filter(({ rinseOnly }) => rinseOnly).length).toBeGreaterThan(0);
	expect(pauseOf(paused)).toEqual({ fromS: expect.any(Number), toS: expect.any(Number), tankL: 500 });
	expect(Math.max(...spans.map(({ toS }) => toS))).toBeLessThanOrEqual(paused.finishS);
});
