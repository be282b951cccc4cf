import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
	checkPlan,
	type PlanPart,
	placeOnWalk,
	type StorePlan,
	shelvesOf,
} from '../../../../../shared/core/store/store-plan.ts';

const part = (label: string, kind: PlanPart['kind'] = 'shelf', more: Partial<PlanPart> = {}): PlanPart => ({
	...{ kind, label, xM: 0, yM: 0, widthM: 1, depthM: 0.5 },
	...more,
});
const plan = (...parts: PlanPart[]): StorePlan => ({ widthM: 4, depthM: 3, parts });

describe('the walk along the shelves', () => {
	const store = plan(part('Top rack'), part('Door', 'door'), part('Shelf 1'), part('Shelf 10'), part(''));
	test.each([
		['Top rack', 0],
		['shelf  1', 1],
		['Shelf 10', 2],
		['Shelf 1, left', 1],
		['SHELF 10 below', 2],
		['Shelf 11', 3],
		['Shelf', 3],
		['Door', 3],
		['', 3],
	])('%s comes at %i', (place, at) => {
		expect(placeOnWalk(store, place)).toBe(at);
	});
	test('without a plan every place is alike', () => {
		expect([placeOnWalk(null, 'Shelf 1'), placeOnWalk(null, '')]).toEqual([0, 0]);
	});
	test('names of the shelves stand in the order they are walked along', () => {
		expect(shelvesOf(store)).toEqual(['Top rack', 'Shelf 1', 'Shelf 10']);
		expect(shelvesOf(null)).toEqual([]);
	});
});

describe('a plan that can be drawn', () => {
	test.each([
		['to the right', { xM: 3.5 }],
		['below', { yM: 2.6 }],
		['too wide', { widthM: 4.1 }],
		['too deep', { depthM: 3.1 }],
	])('has nothing outside: %s', (_, more) => {
		expect(checkPlan(plan(part('Shelf 1', 'shelf', more)))).toEqual({
			ok: false,
			problem: { code: 'plan.outside', details: { label: 'Shelf 1', widthM: 4, depthM: 3 } },
		});
	});
	test('names a part without a label by its kind', () => {
		const { problem } = checkPlan(plan(part('', 'bund', { widthM: 9 }))) as { problem?: { details: object } };
		expect(problem?.details).toMatchObject({ label: 'bund' });
	});
	test('has no two shelves of one name, whatever its case; other parts may share one', () => {
		expect(checkPlan(plan(part('Shelf 1'), part(' shelf 1 ')))).toMatchObject({ problem: { code: 'plan.labelTwice' } });
		expect(checkPlan(plan(part('A'), part('A', 'door'), part('A', 'room'))).ok).toBe(true);
	});
	test('takes every part on the grid inside the building, edge to edge', () => {
		const tenth = (most: number) => fc.integer({ min: 0, max: most * 10 }).map((tenths) => tenths / 10);
		fc.assert(
			fc.property(tenth(3), tenth(2), (xM, yM) => {
				const inside = part('x', 'room', { xM, yM, widthM: 4 - xM, depthM: 3 - yM });
				expect(checkPlan(plan(inside)).ok).toBe(true);
			}),
			{ seed: 71, numRuns: 300 },
		);
	});
});
