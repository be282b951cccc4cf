import { describe, expect, test } from 'vitest';
import {
	groundContract,
	MeasureInput,
	MeasureOutput,
	ReconcileInput,
	ReconcileOutput,
} from '../../../../shared/contract/ground.ts';
import { reconcile } from '../../../../shared/core/geometry/area-reconciliation.ts';
import { measure } from '../../../../shared/core/geometry/polygon-area.ts';

const geometry = {
	type: 'Polygon',
	coordinates: [
		[
			[11, 52],
			[11.01, 52],
			[11.01, 52.01],
			[11, 52],
		],
	],
	bbox: [11, 52, 11.01, 52.01],
	crs: { type: 'name', properties: { name: 'urn:ogc:def:crs:OGC:1.3:CRS84' } },
};

describe('measure', () => {
	test('fills in the defaults and passes over members beside the coordinates', () => {
		expect(MeasureInput.parse({ geometry })).toEqual({
			geometry,
			positionSigmaM: 0.5,
			edgeBiasM: 0.3,
			correlationM: 50,
		});
	});

	test('answers in the declared shape', () => {
		const result = measure(MeasureInput.parse({ geometry }));
		expect(result.ok && MeasureOutput.parse(result.value)).toEqual(result.ok && result.value);
	});

	test('leaves a geometry of the wrong kind to the core, which says why', () => {
		const feature = measure(MeasureInput.parse({ geometry: { type: 'Feature', geometry, properties: {} } }));
		expect(feature.ok ? null : feature.problem.details['why']).toBe(
			'it is a Feature; a boundary is a Polygon or a MultiPolygon',
		);
	});

	test.each([
		[{}, ['geometry']],
		[{ geometry, colour: 'green' }, []],
		[{ geometry, positionSigmaM: -1 }, ['positionSigmaM']],
		[{ geometry, edgeBiasM: 'wide' }, ['edgeBiasM']],
		[{ geometry, correlationM: 0 }, ['correlationM']],
	])('refuses %j with the field named', (input, path) => {
		const parsed = MeasureInput.safeParse(input);
		expect(parsed.error?.issues.map((issue) => issue.path)[0]).toEqual(path);
	});
});

describe('reconcile', () => {
	const input = { measuredHa: 10.31, mappedHa: 10, perimeterM: 1600 };

	test('fills in the defaults', () => {
		expect(ReconcileInput.parse(input)).toEqual({ ...input, strips: [], gridScalePpm: 0, bufferM: 1.5, capHa: 1 });
	});

	test('answers in the declared shape, also where the mapped area is zero', () => {
		for (const mappedHa of [10, 0]) {
			const result = reconcile(ReconcileInput.parse({ ...input, mappedHa, mappedStepHa: 0.01 }));
			expect(ReconcileOutput.parse(result)).toEqual(result);
		}
	});

	test.each([
		[{ ...input, measuredHa: 0 }, ['measuredHa']],
		[{ ...input, mappedHa: -1 }, ['mappedHa']],
		[{ ...input, perimeterM: 0 }, ['perimeterM']],
		[{ ...input, gridScalePpm: -1e6 }, ['gridScalePpm']],
		[{ ...input, strips: [{ label: 'brook', areaHa: -0.1 }] }, ['strips', 0, 'areaHa']],
		[{ ...input, strips: [{ areaHa: 0.1 }] }, ['strips', 0, 'label']],
	])('refuses %j with the field named', (bad, path) => {
		expect(ReconcileInput.safeParse(bad).error?.issues[0]?.path).toEqual(path);
	});
});

test('both are declared as pure', () => {
	const kinds = Object.entries(groundContract).map(([name, procedure]) => [name, procedure['~orpc'].meta.kind]);
	expect(kinds).toEqual([
		['measure', 'pure'],
		['reconcile', 'pure'],
	]);
});
