import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FillInput } from '../../../../../shared/contract/filling.ts';
import { fill } from '../../../../../shared/core/filling/fill.ts';
import { type LoggedFill, learnFilling } from '../../../../../shared/core/filling/learning.ts';
import { robustRate } from '../../../../../shared/core/filling/robust-rate.ts';

const settings = { inflowLPerMin: 200, perContainerS: 50 };

/** A fill as it would be logged: run by the fill itself at the true inflow and pace, each with its own error. */
function logged(truth: { inflow: number; paceS: number; containers: number; operator?: string }): LoggedFill {
	const { inflow, paceS, containers, operator } = truth;
	const waterL = 3000 - containers * 5;
	const result = fill(
		FillInput.parse({
			totalL: 3000,
			waterL,
			inflowLPerMin: inflow,
			startL: 750,
			containers: Array.from({ length: containers }, () => ({ product: 'A', size: 5, unit: 'L', volumeL: 5 })),
			handling: { openAndPourS: paceS, rinsesS: [] },
		}),
	);
	if (!result.ok) throw new Error(JSON.stringify(result.problem));
	const { finishS, pausedS, events } = result.value;
	const opened = events.find(({ what }) => what === 'container opened')?.atS ?? 0;
	const done = events.findLast(({ what }) => what === 'container done')?.atS ?? 0;
	return {
		durationS: finishS,
		meteredL: waterL,
		stopsS: pausedS > 0 ? [pausedS] : [],
		containers,
		openedAtMeterL: (opened * inflow) / 60,
		doneAtMeterL: ((done - pausedS) * inflow) / 60,
		...(operator === undefined ? {} : { operator }),
	};
}

const noise = fc.double({ min: 0.95, max: 1.05, noNaN: true });

describe('learning from logged fills', () => {
	test('without fills the settings stand', () => {
		const { inflowLPerMin, perContainerS } = learnFilling([], settings);
		expect([
			inflowLPerMin.estimate,
			inflowLPerMin.n,
			perContainerS.estimate,
			perContainerS.n,
			perContainerS.operator,
		]).toEqual([200, 0, 50, 0, null]);
	});

	test('the truth is found from twenty fills of which four are spoilt, far from the settings', () => {
		const errors = fc.array(fc.record({ inflow: noise, pace: noise, containers: fc.integer({ min: 18, max: 30 }) }), {
			minLength: 20,
			maxLength: 20,
		});
		fc.assert(
			fc.property(errors, (fills) => {
				const observed = fills.map(({ inflow, pace, containers }, index) => {
					const good = logged({ inflow: 150 * inflow, paceS: 80 * pace, containers });
					const forgotten = { ...good, durationS: good.durationS + 3600, stopsS: [2400] };
					return index % 5 === 0 ? forgotten : good;
				});
				const learned = learnFilling(observed, settings);
				expect(Math.abs(learned.inflowLPerMin.estimate / 150 - 1)).toBeLessThan(0.05);
				expect(Math.abs(learned.perContainerS.estimate / 80 - 1)).toBeLessThan(0.05);
				expect([learned.inflowLPerMin.n, learned.perContainerS.n]).toEqual([20, 20]);
			}),
			{ seed: 60, numRuns: 100 },
		);
	});

	test('the spread shrinks with the number of fills and covers the error', () => {
		const one = logged({ inflow: 210, paceS: 52, containers: 25 });
		const spreads = [0, 3, 12, 48].map((count) => learnFilling(Array(count).fill(one), settings).perContainerS.spread);
		expect(spreads.toSorted((a, b) => b - a)).toEqual(spreads);
		expect(spreads[3]).toBeGreaterThan(0);
	});

	test('one odd fill moves nothing much', () => {
		const odd = { ...logged({ inflow: 200, paceS: 50, containers: 25 }), durationS: 9000 };
		const { estimate } = learnFilling([odd], settings).inflowLPerMin;
		expect(Math.abs(estimate / 200 - 1)).toBeLessThan(0.1);
	});

	test('a fill without a stop teaches the inflow only', () => {
		const fills = [logged({ inflow: 200, paceS: 30, containers: 4 })];
		const { inflowLPerMin, perContainerS } = learnFilling(fills, settings);
		expect([inflowLPerMin.n, perContainerS.n]).toEqual([1, 0]);
	});

	test('a logged handling time is used as it is', () => {
		const { openedAtMeterL: _, doneAtMeterL: __, ...fillOnly } = logged({ inflow: 200, paceS: 30, containers: 4 });
		const fills = Array(30).fill({ ...fillOnly, handlingS: 120 });
		expect(learnFilling(fills, settings).perContainerS.estimate).toBeCloseTo(30, 0);
	});

	test('an operator’s own pace counts from the fifteenth fill on', () => {
		const slow = logged({ inflow: 200, paceS: 90, containers: 25, operator: 'Ada' });
		const quick = logged({ inflow: 200, paceS: 50, containers: 25, operator: 'Ben' });
		const paceOf = (count: number, operator: string) => {
			const { operator: who, estimate } = learnFilling(
				[...Array(40).fill(quick), ...Array(count).fill(slow)],
				settings,
				operator,
			).perContainerS;
			return [who, Math.round(estimate / 10) * 10];
		};
		expect([paceOf(14, 'Ada'), paceOf(15, 'Ada'), paceOf(15, 'Cem')]).toEqual([
			[null, 50],
			['Ada', 90],
			[null, 50],
		]);
	});
});

describe('a robust rate', () => {
	test('weighs a larger observation more', () => {
		const rate = robustRate(
			[
				{ took: 100, per: 100 },
				{ took: 11, per: 10 },
			],
			1.05,
		).estimate;
		expect(rate).toBeLessThan(1.05);
	});

	test('is the setting where nothing usable was observed', () => {
		expect(robustRate([{ took: 0, per: 0 }], 7)).toMatchObject({ estimate: 7, n: 0 });
	});

	test('lies between the extremes of what was seen and set', () => {
		const rates = fc.array(
			fc.record({ took: fc.double({ min: 1, max: 100, noNaN: true }), per: fc.integer({ min: 1, max: 40 }) }),
			{ minLength: 1 },
		);
		fc.assert(
			fc.property(rates, fc.integer({ min: 1, max: 100 }), (observations, setting) => {
				const all = [setting, ...observations.map(({ took, per }) => took / per)];
				const { estimate } = robustRate(observations, setting);
				expect(estimate).toBeGreaterThanOrEqual(Math.min(...all) * (1 - 1e-9));
				expect(estimate).toBeLessThanOrEqual(Math.max(...all) * (1 + 1e-9));
			}),
			{ seed: 61 },
		);
	});
});
