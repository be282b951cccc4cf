import { expect, test } from 'vitest';
import { areaTolerance, reconcile } from '../../shared/core/geometry/area-reconciliation.ts';

/*
 * The buffer tolerance of the former direct-payment controls on square parcels: perimeter × 1.25 m (EU 809/2014 art. 38) or
 * × 1.5 m (EC 796/2004 art. 30, 1122/2009 art. 34), at most 1.0 ha. Articles from memory; the figures are computed by hand
 * from 4 × √area × buffer.
 */
const squares = [
	{ areaHa: 0.5, perimeterM: 283, at125: { ha: 0.035, percent: 7.1 }, at150: { ha: 0.042, percent: 8.5 } },
	{ areaHa: 1, perimeterM: 400, at125: { ha: 0.05, percent: 5 }, at150: { ha: 0.06, percent: 6 } },
	{ areaHa: 4, perimeterM: 800, at125: { ha: 0.1, percent: 2.5 }, at150: { ha: 0.12, percent: 3 } },
	{ areaHa: 10, perimeterM: 1265, at125: { ha: 0.158, percent: 1.6 }, at150: { ha: 0.19, percent: 1.9 } },
	{ areaHa: 20, perimeterM: 1789, at125: { ha: 0.224, percent: 1.1 }, at150: { ha: 0.268, percent: 1.3 } },
	{ areaHa: 50, perimeterM: 2828, at125: { ha: 0.354, percent: 0.7 }, at150: { ha: 0.424, percent: 0.8 } },
	{ areaHa: 100, perimeterM: 4000, at125: { ha: 0.5, percent: 0.5 }, at150: { ha: 0.6, percent: 0.6 } },
];

test.each(squares)('a square of $areaHa ha', ({ areaHa, perimeterM, at125, at150 }) => {
	const side = Math.sqrt(areaHa * 10_000);
	expect(Math.round(4 * side)).toBe(perimeterM);
	const narrow = areaTolerance(4 * side, 1.25, 1);
	const wide = areaTolerance(4 * side, 1.5, 1);
	expect([narrow.toFixed(3), ((narrow / areaHa) * 100).toFixed(1)]).toEqual([
		at125.ha.toFixed(3),
		at125.percent.toFixed(1),
	]);
	expect([wide.toFixed(3), ((wide / areaHa) * 100).toFixed(1)]).toEqual([
		at150.ha.toFixed(3),
		at150.percent.toFixed(1),
	]);
});

test('no parcel gets more than the cap', () => {
	expect(areaTolerance(20_000, 1.5, 1)).toBe(1);
	const edge = reconcile({ measuredHa: 901, mappedHa: 900, perimeterM: 12_000 });
	expect([edge.toleranceHa, edge.withinTolerance]).toEqual([1, true]);
	expect(reconcile({ measuredHa: 901.01, mappedHa: 900, perimeterM: 12_000 }).withinTolerance).toBe(false);
});
