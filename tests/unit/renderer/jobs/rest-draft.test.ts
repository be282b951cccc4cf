import { expect, test } from 'vitest';
import { mixLeft } from '../../../../renderer/pages/jobs/rest-draft.ts';
import type { Job } from '../../../../shared/contract/jobs.ts';

/** A load of 30 ha at 100 L/ha, broken off after 20. */
function brokenOff(mixLeftL: number | null): Pick<Job, 'plan' | 'logs' | 'sprayVolumeLPerHa'> {
	const load = { load: 1, areaHa: 30, products: [], ground: [{ fieldId: 'a', field: 'Long Piece', areaHa: 30 }] };
	const stopped = { why: 'rain', mixLeftL, mix: 'kept' };
	const log = { load: 1, state: 'stopped', products: [], fields: [{ fieldId: 'a', areaHa: 20 }], stopped };
	return {
		sprayVolumeLPerHa: 100,
		plan: { loads: [load], end: { unsprayableL: 15 } },
		logs: [log],
	} as unknown as Pick<Job, 'plan' | 'logs' | 'sprayVolumeLPerHa'>;
}

test('mix that was kept is planned with, by the ground where nobody said how much: never made up twice', () => {
	expect(mixLeft(brokenOff(900), 1)).toBe(915);
	expect(mixLeft(brokenOff(0), 1)).toBe(15);
	expect(mixLeft(brokenOff(null), 1)).toBe(1015);
	expect(mixLeft(brokenOff(null), null)).toBe(15);
});
