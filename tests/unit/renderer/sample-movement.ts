import type { Movement } from '../../../shared/contract/store.ts';

/** A ledger line of one product; what a test does not care about is the same in each. */
export function movement(seq: number, kind: Movement['kind'], amount: number, rest: Partial<Movement> = {}): Movement {
	const at = rest.occurredAt ?? '2026-05-09T09:00:00Z';
	return {
		id: String(seq),
		seq,
		productId: 'p',
		product: 'Suspension',
		unit: 'L',
		kind,
		amount,
		balance: 0,
		packSize: 5,
		batch: null,
		storeId: 'farm',
		occurredAt: at,
		postedAt: at,
		who: 'A. Marsh',
		why: null,
		document: null,
		jobId: (rest.load ?? null) === null ? null : 'j',
		load: null,
		reverses: null,
		...rest,
	};
}
