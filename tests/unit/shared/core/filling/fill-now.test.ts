import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fill } from '../../../../../shared/core/filling/fill.ts';
import type { FillGiven } from '../../../../../shared/core/filling/fill-given.ts';
import { fillNow } from '../../../../../shared/core/filling/fill-now.ts';
import type { FillStep } from '../../../../../shared/core/filling/fill-steps.ts';

const SECOND = 1000;
const OPENED = { id: 'open', at: 0, what: 'inlet opened', container: null, meteredL: null, undoes: null } as const;

/** 4,000 L at 240 L/min; containers of 5 L, 48 s each: from 2,000 L on there is room for ten of them. */
function load(containers: number, more: Partial<FillGiven> = {}): FillGiven {
	return {
		totalL: 4000,
		waterL: 4000 - containers * 5,
		carriedInL: 0,
		inflowLPerMin: 240,
		startL: 2000,
		containers: Array.from({ length: containers }, () => ({ product: 'A', size: 5, unit: 'L' as const, volumeL: 5 })),
		handling: {
			preSlurryS: 0,
			openAndPourS: 18,
			rinsesS: [10, 10, 10],
			drainS: 0,
			rinseLPerMin: 10,
			rinseFrom: 'inlet',
			waitAfterS: 0,
		},
		closeReserveL: 100,
		valveRunOnL: 10,
		leastWaterL: 0,
		...more,
	};
}

function done(container: number, second: number): FillStep {
	return { ...OPENED, id: `done ${container}`, what: 'container done', at: second * SECOND, container };
}

function shut(second: number): FillStep {
	return { ...OPENED, id: `shut ${second}`, what: 'inlet stopped', at: second * SECOND };
}

test('before the inlet is opened the plan stands: first container, first stop, nothing poured', () => {
	const { phase, next, left, firstInS, meterL, stop } = fillNow(load(12), [], 0);
	const plan = fill(load(12));
	if (!plan.ok) throw new Error(plan.problem.code);
	expect({ phase, next, left, firstInS, meterL }).toEqual({
		phase: 'not begun',
		next: 0,
		left: 12,
		firstInS: 500,
		meterL: 0,
	});
	expect(stop).toMatchObject({ atMeterL: plan.value.meterStops[0]?.atMeterL, forS: plan.value.pausedS });
});

test('the call to stop comes before the mark: the run-on is in the mark, the reach is in the call', () => {
	// All eight fit; the last stop is at 3,960 L of water less 10 L of run-on: 987.5 s at 4 L/s.
	const steps = [OPENED, ...Array.from({ length: 8 }, (_, index) => done(index + 1, 548 + index * 48))];
	const call = (second: number) => fillNow(load(8), steps, second * SECOND).stop?.call;
	expect([957, 958, 982, 983, 1100].map(call)).toEqual(['later', 'soon', 'soon', 'now', 'now']);
	expect(fillNow(load(8), steps, 900 * SECOND).stop).toMatchObject({ atMeterL: 3950, forS: null });
});

test('an operator who is quicker than planned needs no stop; one who is slower is asked for it', () => {
	const quick = [OPENED, ...Array.from({ length: 8 }, (_, index) => done(index + 1, 300 + index * 20))];
	expect(fillNow(load(12), quick, 450 * SECOND).stop).toMatchObject({ forS: null, atMeterL: 3930 });
	const slow = [OPENED, done(1, 600), done(2, 720)];
	const asked = fillNow(load(8), slow, 721 * SECOND).stop;
	expect(asked?.call).toBe('now');
	expect(asked?.forS).toBeGreaterThan(10);
});

test('with the inlet shut it counts down to opening it again, and the clean rinses still owed', () => {
	const steps = [OPENED, shut(490), done(1, 530), done(2, 578)];
	const at = (second: number) => fillNow(load(14), steps, second * SECOND);
	const first = at(580);
	expect({ stop: first.stop, owed: first.owedRinses, inletOpen: first.state.inletOpen }).toEqual({
		stop: null,
		owed: 2,
		inletOpen: false,
	});
	expect(first.openInS).toBeGreaterThan(0);
	// Standing there does not bring it nearer than the work that is left; working on a container does, second by second.
	expect((first.openInS ?? 0) - (at(600).openInS ?? 0)).toBeCloseTo(20, 6);
});

test('water and every container in, inlet shut: the load is filled', () => {
	const dones = Array.from({ length: 8 }, (_, index) => done(index + 1, 548 + index * 48));
	expect(fillNow(load(8), [OPENED, ...dones, shut(990)], 1000 * SECOND)).toMatchObject({
		phase: 'filled',
		next: null,
		left: 0,
		openInS: null,
	});
});

test('every container done while the inlet is shut half-way: it is to be opened again', () => {
	const dones = Array.from({ length: 8 }, (_, index) => done(index + 1, 510 + index * 10));
	expect(fillNow(load(8), [OPENED, shut(500), ...dones], 600 * SECOND)).toMatchObject({
		phase: 'filling',
		next: null,
		openInS: 0,
	});
});

test('an inlet shut long before the level to pour at is opened again at once: waiting there gains nothing', () => {
	// Foam after a minute: 240 L of 2,000. A hand early on the valve, at 1,960 L, is the stop itself.
	expect(fillNow(load(14), [OPENED, shut(60)], 90 * SECOND)).toMatchObject({ stop: null, openInS: 0 });
	expect(fillNow(load(14), [OPENED, shut(490)], 500 * SECOND).openInS).toBeGreaterThan(0);
});

test('a load without a container is water only', () => {
	const given = load(0, { startL: 2000 });
	expect(fillNow(given, [OPENED], 100 * SECOND)).toMatchObject({
		phase: 'filling',
		next: null,
		stop: { atMeterL: 3990 },
	});
	expect(fillNow(given, [OPENED, shut(998)], 1000 * SECOND).phase).toBe('filled');
});

test('litres balance at every moment, and a fill that goes as planned is stopped where the plan says', () => {
	fc.assert(
		fc.property(
			fc.integer({ min: 0, max: 40 }),
			fc.integer({ min: 0, max: 40 }),
			fc.integer({ min: 0, max: 900 }),
			(containers, poured, second) => {
				const many = Math.min(poured, containers);
				const given = load(containers);
				const steps = [OPENED, ...Array.from({ length: many }, (_, index) => done(index + 1, index))];
				const now = fillNow(given, steps, second * SECOND);
				expect(now.tankL).toBeCloseTo(now.meterL + many * 5, 6);
				expect(now.meterL).toBeCloseTo(second * 4, 6);
				expect(now.left).toBe(containers - many);
			},
		),
		{ seed: 7, numRuns: 200 },
	);
});
