import { expect, test } from 'vitest';
import { observeFill } from '../../../../../shared/core/filling/fill-observation.ts';
import type { FillStep, StepKind } from '../../../../../shared/core/filling/fill-steps.ts';
import type { FillContainer } from '../../../../../shared/core/filling/handling.ts';

const can = (product: string): FillContainer => ({ product, size: 5, unit: 'L', volumeL: 5 });

function steps(...told: readonly (readonly [StepKind, number, number?])[]): FillStep[] {
	return told.map(([what, second, container], index) => ({
		id: `s${index}`,
		at: second * 1000,
		what,
		container: container ?? null,
		meteredL: null,
		undoes: null,
	}));
}

const four = steps(
	['inlet opened', 0],
	['container done', 100, 1],
	['container done', 140, 2],
	['inlet stopped', 150],
	['container done', 220, 3],
	['inlet opened', 250],
	['container done', 260, 4],
	['inlet stopped', 400],
);

test('running time, stops and pace by hand', () => {
	// Open 0–150 and 250–400; 2 followed 1 in 40 s, 4 followed 3 in 40 s; what lies between the products is no handling.
	expect(observeFill(four, [can('A'), can('A'), can('B'), can('B')], 999_000)).toEqual({
		startedAt: 0,
		finishedAt: 400_000,
		runningS: 300,
		stopsS: [100],
		containers: 4,
		handlingS: 80,
		handled: 2,
	});
});

test('standing still for foam is no handling, and shuts the inlet', () => {
	const foamed = steps(
		['inlet opened', 0],
		['container done', 10, 1],
		['everything stopped', 20],
		['went on', 80],
		['inlet opened', 90],
		['container done', 110, 2],
		['container done', 150, 3],
		['inlet stopped', 200],
	);
	expect(observeFill(foamed, [can('A'), can('A'), can('A')], 999_000)).toMatchObject({
		runningS: 130,
		stopsS: [70],
		handlingS: 80,
		handled: 2,
	});
});

test.each([
	['a fill of closed transfer', [0, 1, 2, 3].map(() => ({ ...can('A'), method: 'closed transfer' as const }))],
	['a fill of which two containers are known', [can('A'), can('A')]],
])('%s teaches no pace', (_, containers) => {
	const known = four.filter(({ container }) => container === null || container <= containers.length);
	expect(observeFill(known, containers, 999_000)).toMatchObject({ handlingS: null, handled: null });
});

test('with the inlet still open the water ran until it was logged', () => {
	expect(observeFill(four.slice(0, 3), [can('A'), can('A')], 180_000)).toMatchObject({
		finishedAt: 180_000,
		runningS: 180,
	});
});

test('a fill that was never begun is none', () => {
	expect(observeFill(steps(['container done', 5, 1]), [can('A')], 999_000)).toBe(null);
});
