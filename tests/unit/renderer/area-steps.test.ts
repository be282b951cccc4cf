import { expect, test } from 'vitest';
import { areaSteps, litresApart } from '../../../renderer/pages/fields/area-steps.ts';
import type { FieldDetail } from '../../../shared/contract/fields.ts';

/* One field of 12.37 ha measured, 12.06 ha mapped, 1,632 m round, with a strip and a pond. */
const detail = {
	field: {
		id: 'f',
		name: 'Long Field',
		code: null,
		measuredHa: 12.37,
		sigmaHa: 0.09,
		mappedHa: 12.06,
		loadForHa: 12.12,
		loadForBasis: 'boundary',
		perimeterM: 1632,
		differenceHa: 0.31,
		edgeStripM: 1.9,
		withinTolerance: false,
		version: 1,
	},
	geometry: null,
	mappedSource: null,
	mappedOn: null,
	loadForWhy: null,
	retiredOn: null,
	cameFrom: [],
	wentTo: [],
	openJob: null,
	strips: [
		{ id: 's', kind: 'strip', label: 'Ditch', widthM: 5, areaHa: 0.2, geometry: null },
		{ id: 'o', kind: 'obstacle', label: 'Pond', widthM: null, areaHa: 0.05, geometry: null },
	],
	measurements: [],
	sprayed: null,
	crops: [],
	difference: {
		differenceHa: 0.31,
		differencePercent: 2.6,
		edgeStripM: 1.9,
		toleranceHa: 0.24,
		withinTolerance: false,
		causes: [
			{ cause: 'rounding', areaHa: 0.005 },
			{ cause: 'grid scale', areaHa: -0.005 },
		],
		explainedHa: 0,
		unexplainedHa: 0.31,
		say: '',
	},
} as const satisfies FieldDetail;

test('goes from the mapped area to the area to load for without a gap, the scale of the grid before rounding', () => {
	const steps = areaSteps(detail);
	expect(steps.map(({ key, note }) => (note ? `${key}: ${note}` : key))).toEqual([
		'mapped',
		'grid scale',
		'rounding: at most half its last digit',
		'unexplained: 1.9 m all round',
		'measured',
		's: strip, not sprayed',
		'o: obstacle',
		'load',
	]);
	const gaps = steps.slice(1).map((step, index) => Math.abs(step.from - (steps[index]?.to ?? Number.NaN)));
	expect(Math.max(...gaps)).toBeLessThan(1e-9);
});

test('says what the user decided where another figure is loaded for', () => {
	const steps = areaSteps({ ...detail, field: { ...detail.field, loadForBasis: 'sprayed', loadForHa: 12.31 } });
	expect(steps.slice(-2).map(({ key, from, to }) => [key, from, to])).toEqual([
		['decided', 12.37, 12.31],
		['load', 12.31, 12.31],
	]);
});

test('shows no way where there is only one figure', () => {
	const field = { ...detail.field, measuredHa: null, loadForBasis: 'mapped' as const, loadForHa: 12.06 };
	expect(areaSteps({ ...detail, strips: [], difference: null, field })).toEqual([]);
});

test('tells the difference in litres of mix, signed: 0.06 ha at 200 L/ha is 12 L', () => {
	expect(litresApart(detail, 200)).toBeCloseTo(12, 9);
});
