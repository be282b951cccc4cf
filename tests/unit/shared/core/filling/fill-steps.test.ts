import { expect, test } from 'vitest';
import {
	type FillStep,
	fillState,
	meteredBy,
	type StepKind,
	standingSteps,
	stepStands,
} from '../../../../../shared/core/filling/fill-steps.ts';

/** Steps at whole seconds: `['inlet opened', 0]`, `['container done', 30, 1]`. */
type Told = readonly [StepKind, number, (number | string)?];

function stepsOf(...told: readonly Told[]): FillStep[] {
	return told.map(([what, second, more], index) => ({
		id: `s${index}`,
		at: second * 1000,
		what,
		container: what === 'container done' ? Number(more) : null,
		meteredL: what === 'meter read' ? Number(more) : null,
		undoes: what === 'undo' ? String(more) : null,
	}));
}

test('a step taken back does not stand, whichever it is, and can be noted again', () => {
	const steps = stepsOf(
		['inlet opened', 0],
		['container done', 30, 1],
		['container done', 60, 2],
		['undo', 61, 's1'],
		['container done', 62, 1],
	);
	expect(standingSteps(steps).map(({ id }) => id)).toEqual(['s0', 's2', 's4']);
	expect([...fillState(steps).done].sort()).toEqual([1, 2]);
});

test('a fresh start leaves nothing standing; taking it back brings everything again', () => {
	const steps = stepsOf(['inlet opened', 0], ['container done', 30, 1], ['started over', 40]);
	expect(fillState(steps).openedAt).toBe(null);
	expect(standingSteps([...steps, ...stepsOf(['undo', 41, 's2'])]).map(({ id }) => id)).toEqual(['s0', 's1']);
});

test('the meter runs only while the inlet is open, and goes on from a reading', () => {
	const steps = stepsOf(['inlet opened', 0], ['inlet stopped', 60], ['inlet opened', 100], ['everything stopped', 130]);
	// 240 L/min: 60 s + 30 s open, then shut for good.
	expect(meteredBy(fillState(steps), 240, 500_000)).toBe(360);
	const read = [...steps, ...stepsOf(['meter read', 140, 350], ['went on', 150], ['inlet opened', 160])];
	expect(meteredBy(fillState(read), 240, 170_000)).toBe(390);
});

test('everything stopped shuts the inlet, and it stays shut until it is opened', () => {
	const halted = stepsOf(['inlet opened', 0], ['everything stopped', 20]);
	const wentOn = [...halted, ...stepsOf(['went on', 50])];
	expect(
		[halted, wentOn].map((steps) => fillState(steps)).map(({ halted, inletOpen }) => ({ halted, inletOpen })),
	).toEqual([
		{ halted: true, inletOpen: false },
		{ halted: false, inletOpen: false },
	]);
});

const told: readonly [string, readonly Told[], Omit<FillStep, 'id' | 'at'>, boolean][] = [
	['the next container', [['inlet opened', 0]], step('container done', 1), true],
	['a container that is done', [['container done', 5, 1]], step('container done', 1), false],
	['a container the load does not have', [['inlet opened', 0]], step('container done', 4), false],
	['a container without its number', [['inlet opened', 0]], step('container done'), false],
	['opening an open inlet', [['inlet opened', 0]], step('inlet opened'), false],
	['opening while everything stands still', [['everything stopped', 0]], step('inlet opened'), false],
	['shutting a shut inlet', [], step('inlet stopped'), false],
	['taking back what does not stand', [['inlet opened', 0]], { ...step('undo'), undoes: 's7' }, false],
	['taking back what stands', [['inlet opened', 0]], { ...step('undo'), undoes: 's0' }, true],
];

test.each(told)('%s', (_, noted, next, stands) => {
	expect(stepStands(stepsOf(...noted), next, 3)).toBe(stands);
});

function step(what: StepKind, container: number | null = null): Omit<FillStep, 'id' | 'at'> {
	return { what, container, meteredL: null, undoes: null };
}
