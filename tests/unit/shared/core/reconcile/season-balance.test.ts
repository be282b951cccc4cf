import { expect, test } from 'vitest';
import { productMeasures, residualCovariance } from '../../../../../shared/core/reconcile/season-balance.ts';
import {
	type SeasonBooks,
	type SeasonProduct,
	USUAL_NOISE,
} from '../../../../../shared/core/reconcile/season-books.ts';
import { smallFarm } from './small-farm.ts';

const product: SeasonProduct = {
	productId: 'A',
	name: 'A',
	unit: 'L',
	packSizes: [5, 10],
	measureStep: 0.02,
	ground: 39,
	counts: [
		{ at: 200, date: '2027-09-30', amount: 6, openedContainers: 1 },
		{ at: 0, date: '2027-01-01', amount: 20, openedContainers: 0 },
		{ at: 100, date: '2027-05-01', amount: 12.5, openedContainers: 2 },
	],
	bookings: [
		{ at: 0, date: '2027-01-01', kind: 'delivery', amount: 500, packSize: 5, document: null },
		{ at: 50, date: '2027-03-01', kind: 'delivery', amount: 30, packSize: 10, document: null },
		{ at: 100, date: '2027-05-01', kind: 'return', amount: -10, packSize: 10, document: null },
		{ at: 150, date: '2027-07-01', kind: 'spill', amount: -0.5, packSize: null, document: null },
	],
};
const load = { loadId: 'l', jobId: 'j', load: 1, date: '2027-04-01', newMixL: 1000, logged: true };
const line = { productId: 'A', planned: 13, poured: 13, measured: 3, wholePacks: 2, confirmed: true };
const books: SeasonBooks = {
	from: '2027-01-01',
	to: '2027-06-30',
	products: [product],
	loads: [
		{ ...load, at: 0, products: [line] },
		{ ...load, at: 60, products: [line] },
		{ ...load, at: 100, products: [{ ...line, poured: 15, measured: 0, confirmed: false }] },
		{ ...load, at: 101, date: '2027-07-01', products: [{ ...line, poured: 6, measured: 1 }] },
		{ ...load, at: 70, logged: false, products: [{ ...line, poured: 0, measured: 0 }] },
	],
	jobs: [],
};

test('each pair of neighbouring counts is a balance of its own; the tank takes the loads of the period', () => {
	const { intervals, countVariances, tank, measuredPours, confirmedLoads, loads } = productMeasures(
		product,
		books,
		USUAL_NOISE,
	);
	expect(intervals.map(({ store, tank, measured }) => ({ store, tank, measured }))).toEqual([
		{ store: 20 + 30 - 10 - 12.5, tank: 28, measured: 3 },
		{ store: 12.5 - 0.5 - 6, tank: 6, measured: 1 },
	]);
	// An opened container of the largest size is judged within a twentieth: 0.5 L.
	expect(countVariances).toEqual([0, 2 * 0.25, 0.25]);
	expect({ tank, measuredPours, confirmedLoads, loads }).toEqual({
		tank: 41,
		measuredPours: 2,
		confirmedLoads: 2,
		loads: 3,
	});
});

test('a count shared by two stretches enters with opposite signs, the jug with the same', () => {
	const covariance = residualCovariance(productMeasures(product, books, USUAL_NOISE), USUAL_NOISE);
	const pour = (measured: number) => 0.01 ** 2 + (0.02 * measured) ** 2;
	const step = 0.02 ** 2;
	const jug = (a: number, b: number) => 0.01 ** 2 * a * b;
	const expected = [
		[pour(3) + 0.5 + jug(3, 3) + step, jug(3, 1) - 0.5],
		[jug(3, 1) - 0.5, pour(1) + 0.75 + jug(1, 1) + step],
	];
	for (const [i, row] of expected.entries()) {
		for (const [j, value] of row.entries()) expect(covariance[i]?.[j]).toBeCloseTo(value, 12);
	}
});

test('without two counts there is no store measure', () => {
	const once = { ...product, counts: product.counts.slice(0, 1) };
	expect(productMeasures(once, books, USUAL_NOISE).intervals).toEqual([]);
});

test('the ground error counts a field once, however often it was sprayed', () => {
	const farm = smallFarm();
	const [first] = farm.products;
	if (first === undefined) throw new Error('no product');
	// A goes onto fields 0, 2, 4, 1, 3 twenty hectares each and onto 2, 4, 1, 3, 0 ten each: five fields of thirty.
	expect(productMeasures(first, farm, USUAL_NOISE).groundSigma).toBeCloseTo((first.ground * 0.005) / Math.sqrt(5), 9);
});
