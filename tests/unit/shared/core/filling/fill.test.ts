import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FillInput, FillOutput } from '../../../../../shared/contract/filling.ts';
import { type FillAnswer, fill } from '../../../../../shared/core/filling/fill.ts';
import type { FillGiven } from '../../../../../shared/core/filling/fill-given.ts';

type Wire = Parameters<typeof FillInput.parse>[0] & object;

function filled(input: Wire): FillAnswer {
	const result = fill(FillInput.parse(input));
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	expect(FillOutput.parse(result.value)).toEqual(result.value);
	return result.value;
}

function refused(input: Wire) {
	const result = fill(FillInput.parse(input));
	return result.ok ? null : result.problem;
}

const cans = (count: number, volumeL = 5, product = 'A') =>
	Array.from({ length: count }, () => ({ product, size: volumeL, unit: 'L', volumeL }));

/** 3 L/s; opened at 250 s; 48 s a container. */
const yard = { totalL: 3000, inflowLPerMin: 180, startL: 750 };

describe('a fill that keeps up', () => {
	test('is told as a story', () => {
		expect(filled({ ...yard, waterL: 2990, containers: cans(2) })).toEqual({
			fits: true,
			containersThatFit: 2,
			fitsWithPause: true,
			pauseAtL: null,
			pausedS: 0,
			meterStops: [{ atMeterL: 2990, tankL: 3000, why: 'all water is in' }],
			finishS: 2990 / 3,
			events: [
				{ atS: 0, what: 'inlet opened', tankL: 0 },
				{ atS: 250, what: 'container opened', product: 'A', container: 1, tankL: 750 },
				{ atS: 268, what: 'product in', product: 'A', container: 1, tankL: 809 },
				{ atS: 298, what: 'container done', product: 'A', container: 1, tankL: 899 },
				{ atS: 298, what: 'container opened', product: 'A', container: 2, tankL: 899 },
				{ atS: 316, what: 'product in', product: 'A', container: 2, tankL: 958 },
				{ atS: 346, what: 'container done', product: 'A', container: 2, tankL: 1048 },
				{ atS: 2990 / 3, what: 'inlet shut, all water in', tankL: 3000 },
				{ atS: 2990 / 3, what: 'load ready', tankL: 3000 },
			],
			warnings: [],
		});
	});

	test('14 containers are the most: the 14th is done at 750 + 14 × (144 + 5) = 2,836 L, the 15th would be at 2,985 L', () => {
		const most = filled({ ...yard, waterL: 3000 - 14 * 5, containers: cans(14) });
		const oneMore = filled({ ...yard, waterL: 3000 - 15 * 5, containers: cans(15) });
		expect([most.fits, most.containersThatFit, oneMore.fits, oneMore.containersThatFit]).toEqual([true, 14, false, 14]);
	});

	test('a container done exactly at the closing reserve fits', () => {
		const exact = { ...yard, waterL: 2930, containers: cans(14), closeReserveL: 3000 - 2836 };
		expect([filled(exact).fits, filled({ ...exact, closeReserveL: 164.5 }).fits]).toEqual([true, false]);
	});

	test('without containers there is only water', () => {
		const { fits, containersThatFit, finishS } = filled({ ...yard, waterL: 3000, containers: [] });
		expect({ fits, containersThatFit, finishS }).toEqual({ fits: true, containersThatFit: 0, finishS: 1000 });
	});

	/** Common practice: 15 to 20 containers are as many as go into a fill of 3,800 L from an ordinary yard supply. */
	test.each([180, 190, 200])('3,800 L at %i L/min take 15 to 20 containers', (inflowLPerMin) => {
		const { containersThatFit } = filled({
			totalL: 3800,
			inflowLPerMin,
			startL: 950,
			waterL: 3600,
			containers: cans(40),
		});
		expect(containersThatFit).toBeGreaterThanOrEqual(15);
		expect(containersThatFit).toBeLessThanOrEqual(20);
	});

	test('opening takes the same time whatever the size', () => {
		const small = filled({ ...yard, waterL: 2900, containers: cans(10, 1), totalL: 2910 });
		const large = filled({ ...yard, waterL: 2900, containers: cans(10, 10) });
		const doneAt = (answer: FillAnswer) =>
			answer.events.filter(({ what }) => what === 'container done').map(({ atS }) => atS);
		expect(doneAt(small)).toEqual(doneAt(large));
	});

	test('mix carried in above the start level: the first container at once', () => {
		const { events } = filled({ ...yard, carriedInL: 800, waterL: 2195, containers: cans(1) });
		expect(events.slice(0, 2).map(({ atS, what }) => [atS, what])).toEqual([
			[0, 'inlet opened'],
			[0, 'container opened'],
		]);
	});
});

describe('a fill that does not', () => {
	/** Handling ends at 250 + 20 × 48 = 1,210 s; by closing 3000 − 100 − 100 = 2,800 L may have run: 933.3 s. The level is 1,500 L at 491.7 s, five containers poured. */
	test('stops at half, as long as the rest needs', () => {
		const { fits, containersThatFit, fitsWithPause, pauseAtL, pausedS, meterStops, finishS } = filled({
			...yard,
			waterL: 2900,
			containers: cans(20),
		});
		expect({
			fits,
			containersThatFit,
			fitsWithPause,
			pauseAtL,
			pausedS: Math.round(pausedS),
			meterStops,
			finishS: Math.round(finishS),
		}).toEqual({
			fits: false,
			containersThatFit: 14,
			fitsWithPause: true,
			pauseAtL: 1500,
			pausedS: 277,
			meterStops: [
				{
					atMeterL: 1475,
					tankL: 1500,
					why: 'stop for 4 min 40 s while containers are handled, then open the inlet again',
				},
				{ atMeterL: 2900, tankL: 3000, why: 'all water is in' },
			],
			finishS: 1243,
		});
	});

	test('rinses from the inlet wait for the restart, before the next container is opened', () => {
		const { events } = filled({ ...yard, waterL: 2900, containers: cans(20) });
		const restart = events.findIndex(({ what }) => what === 'inlet opened again');
		const stop = events.findIndex(({ what }) => what === 'inlet stopped');
		const doneInPause = events.slice(stop, restart).filter(({ what }) => what === 'container done');
		const owed = events.filter(({ what }) => what === 'clean rinse after the stop').map(({ container }) => container);
		const opened = events.slice(restart).find(({ what }) => what === 'container opened');
		const lastOwed = events.findLast(({ what }) => what === 'clean rinse after the stop');
		expect(doneInPause).toEqual([]);
		expect(owed).toEqual([6, 7, 8, 9, 10, 11, 12]);
		expect(opened?.atS).toBeGreaterThanOrEqual((lastOwed?.atS ?? Number.POSITIVE_INFINITY) + 10);
	});

	test('with a clean tank they need not wait', () => {
		const { events, pausedS } = filled({
			...yard,
			waterL: 2900,
			containers: cans(20),
			handling: { rinseFrom: 'clean tank' },
		});
		expect(events.filter(({ what }) => what === 'clean rinse after the stop')).toEqual([]);
		expect(pausedS).toBeCloseTo(1210 - (3000 - 100 - 100 - 20 * 5) / 3, 9);
	});

	test('the stop is at the label’s least water, or the start level, where that is more than half', () => {
		const base = { ...yard, waterL: 2900, containers: cans(20) };
		expect([filled({ ...base, leastWaterL: 1800 }).pauseAtL, filled({ ...base, startL: 1600 }).pauseAtL]).toEqual([
			1800, 1600,
		]);
	});

	/** The seventh can is empty at 556 s: 1,668 L of water and 30 L of product before it, so 1,698 L, and 1,703 L with it. */
	test('a container emptied at the stop level stops the inlet at that moment', () => {
		const { meterStops, pauseAtL } = filled({ ...yard, waterL: 2900, containers: cans(20), leastWaterL: 1700 });
		expect([pauseAtL, meterStops[0]?.atMeterL, meterStops[0]?.tankL]).toEqual([1700, 1668, 1703]);
	});

	/** 2,200 L of water are in after 733 s, when the tenth can is done; the tank is far from full, but the inlet is shut. */
	test('a container still to come when the water is all in does not fit, however empty the tank', () => {
		expect(filled({ ...yard, waterL: 2200, containers: cans(40, 20) }).containersThatFit).toBe(10);
	});

	test('a stop that comes too late is not advised', () => {
		const answer = filled({ ...yard, waterL: 2900, containers: cans(20), closeReserveL: 2000 });
		expect([answer.fits, answer.fitsWithPause, answer.containersThatFit]).toEqual([false, false, 1]);
		expect(answer.warnings.map(({ code }) => code)).toEqual(['fill.pauseNotEnough']);
	});

	test('product that would overtop the closing level even with the inlet stopped is said', () => {
		const answer = filled({ ...yard, waterL: 1700, containers: cans(65, 20), closeReserveL: 300 });
		expect([answer.fits, answer.fitsWithPause, answer.pauseAtL]).toEqual([false, false, 1500]);
		expect(answer.warnings.map(({ code }) => code)).toEqual(['fill.pauseNotEnough']);
		expect(answer.events.at(-1)?.tankL).toBeCloseTo(3000, 6);
	});

	test('water that is all in before the stop level leaves no stop', () => {
		const answer = filled({ ...yard, waterL: 800, containers: cans(110, 20) });
		expect([answer.fits, answer.fitsWithPause, answer.pauseAtL]).toEqual([false, false, null]);
		expect(answer.warnings.map(({ code }) => code)).toEqual(['fill.noUsefulPause']);
	});
});

describe('handling', () => {
	test('dispersal is waited for between products and after the last, per product', () => {
		const containers = [...cans(2, 5, 'A'), ...cans(1, 5, 'B')];
		const base = { ...yard, waterL: 2985, containers };
		const { events } = filled({ ...base, handling: { waitAfterS: { A: 300 } } });
		expect(
			events.filter(({ what }) => /opened|disperses/.test(what)).map(({ atS, what, product }) => [atS, what, product]),
		).toEqual([
			[0, 'inlet opened', undefined],
			[250, 'container opened', 'A'],
			[298, 'container opened', 'A'],
			[346, 'product disperses', 'A'],
			[646, 'container opened', 'B'],
		]);
		expect([
			filled({ ...base, handling: { waitAfterS: 280 } }).fits,
			filled({ ...base, handling: { waitAfterS: 290 } }).fits,
		]).toEqual([true, false]);
	});

	test('a container’s own handling, its method, the load’s: in that order', () => {
		const containers = [
			{ ...cans(1)[0], method: 'bag' },
			{ ...cans(1)[0], method: 'bag', handling: { openAndPourS: 5 } },
			...cans(1),
		];
		const { events } = filled({ ...yard, waterL: 2985, containers, handling: { drainS: 7, preSlurryS: 3 } });
		const done = events.filter(({ what }) => what === 'container done').map(({ atS }) => atS - 250);
		expect(done).toEqual([43, 43 + 8, 43 + 8 + 58]);
	});

	test('valve run-on is taken off every meter stop, mix carried in and product never run through the meter', () => {
		const base = { ...yard, carriedInL: 200, waterL: 2700, containers: cans(20), valveRunOnL: 8 };
		expect(filled(base).meterStops.map(({ atMeterL, tankL }) => [atMeterL, tankL])).toEqual([
			[1267, 1492],
			[2692, 2992],
		]);
	});

	test('clean-tank rinse water does not run through the meter', () => {
		const { meterStops, events } = filled({
			...yard,
			waterL: 2990,
			containers: cans(2),
			handling: { rinseFrom: 'clean tank' },
		});
		expect(meterStops.map(({ atMeterL }) => atMeterL)).toEqual([2980]);
		expect(events.at(-1)?.tankL).toBeCloseTo(3000, 9);
	});
});

describe('litres that do not add up', () => {
	test('more than the total is refused', () => {
		expect(refused({ ...yard, waterL: 3000, containers: cans(2) })).toEqual({
			code: 'load.fillAboveTotal',
			details: { contentL: 3010, totalL: 3000 },
		});
	});
	test('less than the total is said', () => {
		expect(filled({ ...yard, waterL: 2940, containers: cans(1) }).warnings).toEqual([
			{ code: 'fill.belowTotal', message: 'Water, product and mix carried in leave 55.0 L of the 3000 L total open.' },
		]);
	});
	test('a start level that the water never reaches', () => {
		expect(refused({ ...yard, startL: 2996, waterL: 2995, containers: cans(1) })).toEqual({
			code: 'load.tankTooFull',
			details: { totalL: 3000, startL: 2996 },
		});
	});
	test('clean rinse water above the water of the load', () => {
		expect(refused({ ...yard, waterL: 4, containers: cans(1), handling: { rinseFrom: 'clean tank' } })).toEqual({
			code: 'load.rinseAboveWater',
			details: { rinseL: 5, waterL: 4 },
		});
	});
	test('water running backwards is not an input', () => {
		const bad = [{ inflowLPerMin: -1 }, { inflowLPerMin: 0 }, { carriedInL: -1 }, { totalL: 0 }, { startL: -1 }];
		const base = { ...yard, waterL: 2990, containers: cans(2) };
		expect(bad.map((part) => FillInput.safeParse({ ...base, ...part }).success)).toEqual(bad.map(() => false));
	});
});

describe('any fill', () => {
	const handling = fc.record({
		preSlurryS: fc.constantFrom(0, 20),
		openAndPourS: fc.integer({ min: 0, max: 60 }),
		rinsesS: fc.array(fc.integer({ min: 0, max: 30 }), { maxLength: 3 }),
		drainS: fc.constantFrom(0, 30),
		rinseLPerMin: fc.constantFrom(0, 10),
		rinseFrom: fc.constantFrom('inlet' as const, 'clean tank' as const),
		waitAfterS: fc.oneof(fc.integer({ min: 0, max: 200 }), fc.constant({ A: 120 })),
	});
	const containers = fc.array(
		fc.record({
			product: fc.constantFrom('A', 'B', 'C'),
			size: fc.constant(5),
			unit: fc.constant('L' as const),
			volumeL: fc.integer({ min: 0, max: 20 }),
			method: fc.constantFrom('pour' as const, 'bag' as const, 'closed transfer' as const),
		}),
		{ maxLength: 40 },
	);
	/** Litres that always add up: water is what the total leaves. */
	const given: fc.Arbitrary<FillGiven> = fc
		.record({
			room: fc.record({
				totalL: fc.integer({ min: 1200, max: 6000 }),
				carriedPart: fc.double({ min: 0, max: 0.3, noNaN: true }),
				startPart: fc.double({ min: 0, max: 0.9, noNaN: true }),
				closeReserveL: fc.integer({ min: 0, max: 800 }),
				leastWaterL: fc.constantFrom(0, 1000),
			}),
			inflowLPerMin: fc.integer({ min: 20, max: 800 }),
			valveRunOnL: fc.constantFrom(0, 5),
			containers,
			handling,
		})
		.map(({ room, ...rest }) => {
			const productL = rest.containers.reduce((sum, { volumeL }) => sum + volumeL, 0);
			const carriedInL = room.totalL * room.carriedPart;
			const waterL = room.totalL - carriedInL - productL;
			const { totalL, closeReserveL, leastWaterL } = room;
			return { ...rest, totalL, closeReserveL, leastWaterL, carriedInL, waterL, startL: room.totalL * room.startPart };
		})
		.filter(({ waterL }) => waterL > 0);

	function possible(input: FillGiven): FillAnswer {
		const result = fill(input);
		fc.pre(result.ok);
		if (!result.ok) throw new Error('unreachable');
		return result.value;
	}

	test('time never runs back, the level never falls nor passes the total, and everything is in at the end', () => {
		fc.assert(
			fc.property(given, (input) => {
				const { events, finishS } = possible(input);
				let before = { atS: 0, tankL: input.carriedInL };
				for (const event of events) {
					expect(event.atS).toBeGreaterThanOrEqual(before.atS);
					expect(event.tankL).toBeGreaterThanOrEqual(before.tankL - 1e-6);
					expect(event.tankL).toBeLessThanOrEqual(input.totalL + 1e-6);
					before = event;
				}
				expect(before.tankL).toBeCloseTo(input.totalL, 6);
				expect(before.atS).toBeLessThanOrEqual(finishS + 1e-6);
				for (const what of ['container opened', 'product in', 'container done']) {
					const numbers = events.filter((event) => event.what === what).map(({ container }) => container);
					expect(numbers.toSorted((a = 0, b = 0) => a - b)).toEqual(input.containers.map((_, index) => index + 1));
				}
				expect(events.find(({ what }) => what === 'container opened')?.tankL ?? input.totalL).toBeGreaterThanOrEqual(
					input.startL - 1e-6,
				);
			}),
			{ seed: 50, numRuns: 400 },
		);
	});

	const withoutWaits = given.map((input): FillGiven => ({ ...input, handling: { ...input.handling, waitAfterS: 0 } }));

	test('a stop that suffices ends the handling exactly at the closing reserve; without a stop it ends before', () => {
		const seen = { stopped: 0, straight: 0 };
		fc.assert(
			fc.property(withoutWaits, (input) => {
				const { fits, fitsWithPause, events, pausedS } = possible(input);
				const lastDone = events.findLast(({ what }) => what === 'container done')?.tankL ?? 0;
				const closingL = input.totalL - input.closeReserveL;
				if (fits) {
					seen.straight++;
					expect(pausedS).toBe(0);
					if (input.containers.length > 0) expect(lastDone).toBeLessThanOrEqual(closingL + 1e-6);
				} else if (fitsWithPause) {
					seen.stopped++;
					expect(lastDone).toBeCloseTo(closingL, 4);
				}
			}),
			{ seed: 51, numRuns: 400 },
		);
		expect(Math.min(seen.stopped, seen.straight)).toBeGreaterThan(20);
	});

	test('the closed form agrees with a clock that ticks through the same fill', () => {
		const seen = { stopped: 0, straight: 0 };
		const clean = withoutWaits.map(
			(input): FillGiven => ({ ...input, handling: { ...input.handling, rinseFrom: 'clean tank' } }),
		);
		fc.assert(
			fc.property(clean, (input) => {
				const answer = possible(input);
				const levelL = Math.max(input.totalL / 2, input.startL, input.leastWaterL);
				const straight = ticked(input, levelL, 0);
				seen.straight++;
				const margin = Math.min(...straight.doneAtL.map((atL) => Math.abs(atL - (input.totalL - input.closeReserveL))));
				if (margin > 2 * TICK_S * input.inflowLPerMin) expect(straight.fitting).toBe(answer.containersThatFit);
				if (answer.fits || !answer.fitsWithPause) return;
				seen.stopped++;
				const tooShort = ticked(input, levelL, Math.max(0, answer.pausedS - 2));
				const longEnough = ticked(input, levelL, answer.pausedS + 2);
				expect(longEnough.fitting).toBe(input.containers.length);
				if (answer.pausedS > 2) expect(tooShort.fitting).toBeLessThan(input.containers.length);
			}),
			{ seed: 52, numRuns: 60 },
		);
		expect(Math.min(seen.stopped, seen.straight)).toBeGreaterThan(10);
	});

	test('a longer reserve or a faster inlet never lets more containers in', () => {
		fc.assert(
			fc.property(given, (input) => {
				const base = possible(input).containersThatFit;
				expect(possible({ ...input, closeReserveL: input.closeReserveL + 50 }).containersThatFit).toBeLessThanOrEqual(
					base,
				);
				expect(possible({ ...input, inflowLPerMin: input.inflowLPerMin * 1.2 }).containersThatFit).toBeLessThanOrEqual(
					base,
				);
			}),
			{ seed: 53, numRuns: 300 },
		);
	});
});

const TICK_S = 0.05;

/** The same fill run by a clock, tick by tick: water, one operator with a list of chores, and one stop of the inlet. */
function ticked(input: FillGiven, pauseAtL: number, pauseS: number) {
	const chores = input.containers.flatMap((container, index) => {
		const { handling } = input;
		const bag = container.method === 'bag';
		const closed = container.method === 'closed transfer';
		const pourS = bag ? 40 : closed ? 50 : handling.openAndPourS;
		const rinsesS = bag ? [] : closed ? [10] : handling.rinsesS;
		const before = { leftS: closed ? 0 : handling.preSlurryS, addsL: 0 };
		const pour = { leftS: pourS, addsL: container.volumeL };
		const rinses = rinsesS.map((leftS) => ({ leftS, addsL: (leftS * handling.rinseLPerMin) / 60 }));
		const drain = { leftS: bag || closed ? 0 : handling.drainS, addsL: 0 };
		const chain = [before, pour, ...rinses, drain];
		return chain.map((chore, at) => ({ ...chore, done: at === chain.length - 1 ? index + 1 : 0 }));
	});
	const productL = input.containers.reduce((sum, { volumeL }) => sum + volumeL, 0);
	const cleanL = chores.reduce((sum, { addsL }) => sum + addsL, 0) - productL;
	const meterEndL = input.waterL - cleanL;
	let [meteredL, addedL, pausedS, creditS, started] = [0, 0, 0, 0, false];
	const doneAtL: number[] = [];
	let fitting = 0;
	while (chores.length > 0) {
		const levelL = () => input.carriedInL + meteredL + addedL;
		started ||= levelL() >= input.startL - 1e-9;
		if (started) creditS += TICK_S;
		for (let chore = chores[0]; chore !== undefined && started && creditS >= chore.leftS - 1e-9; chore = chores[0]) {
			creditS -= chore.leftS;
			addedL += chore.addsL;
			chores.shift();
			if (chore.done === 0) continue;
			doneAtL.push(levelL());
			const inTime = meteredL <= meterEndL + 1e-6 && levelL() <= input.totalL - input.closeReserveL + 1e-6;
			if (inTime && fitting === chore.done - 1) fitting = chore.done;
		}
		if (levelL() >= pauseAtL && pausedS < pauseS) pausedS += TICK_S;
		else meteredL += (input.inflowLPerMin / 60) * TICK_S;
	}
	return { fitting, doneAtL };
}
