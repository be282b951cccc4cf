import { expect, test } from 'vitest';
import {
	groundOf,
	newWashings,
	rinsesOf,
	type WashingsDraft,
	washingsRequest,
} from '../../../../renderer/pages/jobs/washings-draft.ts';
import { roomWords, roundedUp } from '../../../../renderer/pages/jobs/washings-words.ts';
import { unitsIn } from '../../../../renderer/units.ts';
import type { WashingsAhead } from '../../../../shared/contract/jobs-washings.ts';

const known = {
	leftL: 20,
	residualL: 20,
	rinsesL: [] as number[],
	rinsedAt: null as string | null,
	fields: [{ fieldId: 'a' }, { fieldId: 'b' }],
};
const of = { date: '2026-04-15', began: '23:50', ended: '00:10', operator: 'A. Marsh' };
const draft = (part: Partial<typeof known> = {}): WashingsDraft =>
	newWashings({ ...known, ...part } as unknown as WashingsAhead, of);

test('an entry begins with what the books know, else with three rinses', () => {
	expect(rinsesOf(draft())).toEqual([100, 100, 100]);
	expect(rinsesOf(draft({ rinsesL: [130, 130], rinsedAt: '2026-04-15T10:00:00+02:00' }))).toEqual([130, 130]);
	const uneven = draft({ rinsesL: [100, 80], rinsedAt: '2026-04-15T10:00:00+02:00' });
	expect([uneven.rinses, rinsesOf(uneven), uneven.rinsedOut]).toEqual([null, [100, 80], false]);
	expect(rinsesOf({ ...uneven, rinses: 2 })).toEqual([]);
});

test('only ground with hectares is sent, and an end before the start is on the next day', () => {
	const entered: WashingsDraft = {
		...draft(),
		ground: [
			{ fieldId: 'a', areaHa: 0.5, over: 'sprayed ground' },
			{ fieldId: 'b', areaHa: null, over: 'sprayed ground' },
		],
	};
	expect(groundOf(entered)).toHaveLength(1);
	expect(washingsRequest(entered, 'j')).toEqual({
		jobId: 'j',
		leftL: 20,
		residualL: 20,
		rinsesL: [100, 100, 100],
		fields: [{ fieldId: 'a', areaHa: 0.5, over: 'sprayed ground' }],
		startedAt: '2026-04-15T23:50',
		finishedAt: '2026-04-16T00:10',
		operator: 'A. Marsh',
		rinsedOut: true,
	});
	expect(washingsRequest({ ...entered, leftL: null }, 'j')).toBeNull();
	expect(washingsRequest({ ...entered, rinses: 0 }, 'j')).toMatchObject({ rinsesL: [], rinsedOut: false });
});

test('the room of a field in words', () => {
	const room = { leastHa: 0.391, limitedBy: { product: 'A', kind: 'singleDose' }, unknown: [], notForCrop: [] };
	expect(roomWords(room, 10, unitsIn.metric)).toBe('at least 0.40 ha (A, single dose)');
	expect(roomWords(room, 0.2, unitsIn.metric)).toBe('at least 0.40 ha (A, single dose), more than the 0.20 ha there');
	expect(roomWords({ ...room, unknown: ['B'] }, 10, unitsIn.metric)).toBe(
		'at least 0.40 ha (A, single dose); no maximum on the books for B: see the label',
	);
	expect(roomWords({ ...room, leastHa: null }, 10, unitsIn.metric)).toBe('no dose to spare (A, single dose)');
	expect(roomWords({ ...room, notForCrop: ['A'] }, 10, unitsIn.metric)).toBe('A not for the crop there');
	expect(roomWords({ ...room, leastHa: 0, limitedBy: null }, 10, unitsIn.metric)).toBe('room on any ground there');
	expect([roundedUp(0.4), roundedUp(0.4000001), roundedUp(0.401)]).toEqual([0.4, 0.41, 0.41]);
});
