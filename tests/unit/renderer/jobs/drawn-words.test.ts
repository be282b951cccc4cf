import { expect, test } from 'vitest';
import { isOtherBatch } from '../../../../renderer/pages/jobs/drawn-words.ts';

const part = (what: 'opened' | 'measured' | 'newly opened', amount: number, batch: string | null) => ({
	what,
	amount,
	batch,
	size: 5,
	expires: null,
});

test('another container of the same batch is nothing to tell, another batch or none is', () => {
	const told = (missing: object[], instead: object[]) => isOtherBatch({ missing, instead } as never);
	expect(told([part('measured', 0.21, 'M-77')], [part('opened', 0.21, 'M-77')])).toBe(false);
	expect(
		told([part('measured', 0.21, 'M-77')], [part('opened', 0.1, 'M-77'), part('newly opened', 0.11, 'M-81')]),
	).toBe(true);
	expect(told([part('opened', 1, null)], [part('newly opened', 1, 'M-81')])).toBe(true);
	expect(told([part('opened', 1, 'M-77')], [{ ...part('opened', 1, null), what: 'beyond the book' }])).toBe(true);
});
