import { expect, test } from 'vitest';
import { breakOf } from '../../../../renderer/pages/jobs/break-of-load.ts';
import type { Job, LoadLog } from '../../../../shared/contract/jobs.ts';
import type { PlannedLoad } from '../../../../shared/contract/jobs-plan.ts';

/** 2,030 L for 20 ha at 100 L/ha, 30 L of it for sump and lines. */
const load = {
	load: 1,
	areaHa: 20,
	totalL: 2030,
	ground: [{ fieldId: 'a', field: 'Long Piece', areaHa: 20, finishesField: true }],
	products: [],
} as unknown as PlannedLoad;

function jobWith(...logs: (Partial<LoadLog> & { areaHa: number })[]) {
	const standing = logs.map(({ areaHa, ...log }) => ({
		...{ load: 1, state: 'stopped', products: [], stopped: null, fields: [{ fieldId: 'a', areaHa }], ...log },
	}));
	return { logs: standing as unknown as LoadLog[], sprayVolumeLPerHa: 100 } as Pick<Job, 'logs' | 'sprayVolumeLPerHa'>;
}

const rain = (mixLeftL: number | null, mix: 'kept' | 'disposed' | 'carried on' = 'kept') => ({
	stopped: { why: 'rain', mixLeftL, mix },
});

test('what was covered up to the break, and what was read in the tank then', () => {
	expect(breakOf(jobWith({ areaHa: 12.5, ...rain(800) }), load)).toEqual({
		...{ coveredHa: 12.5, openHa: 7.5, leftL: 800, isRead: true, mix: 'kept' },
	});
});

test('where nobody read the tank, what the ground covered took is off what had been made up', () => {
	expect(breakOf(jobWith({ areaHa: 12.5, ...rain(null, 'disposed') }), load)).toEqual({
		...{ coveredHa: 12.5, openHa: 7.5, leftL: 780, isRead: false, mix: 'disposed' },
	});
	// Planned again, the load keeps the ground it covered.
	const kept = { ...load, areaHa: 12.5, ground: load.ground.map((part) => ({ ...part, areaHa: 12.5 })) };
	expect(breakOf(jobWith({ areaHa: 12.5, ...rain(null, 'carried on') }), kept)).toMatchObject({
		openHa: 0,
		leftL: 780,
	});
});

test('a second stop counts with the first; a load that went on to its end is not broken off', () => {
	const first = { areaHa: 5, ...rain(1500) };
	expect(breakOf(jobWith(first, { areaHa: 10, ...rain(500) }), load)).toMatchObject({ coveredHa: 15, leftL: 500 });
	expect(breakOf(jobWith(first, { areaHa: 15, state: 'complete' }), load)).toBe(null);
	expect(breakOf(jobWith({ ...first, state: 'reversed' }), load)).toBe(null);
});
