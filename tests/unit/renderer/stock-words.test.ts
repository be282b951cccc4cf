import { expect, test } from 'vitest';
import { byDocument } from '../../../renderer/pages/store/stock-words.ts';
import type { Movement } from '../../../shared/contract/store.ts';

function movement(seq: number, kind: Movement['kind'], amount: number, balance: number, load: number | null): Movement {
	return {
		id: String(seq),
		seq,
		productId: 'p',
		product: 'Suspension',
		unit: 'L',
		kind,
		amount,
		balance,
		packSize: 5,
		batch: null,
		occurredAt: '2026-05-09T09:00:00Z',
		postedAt: '2026-05-09T09:00:00Z',
		who: 'A. Marsh',
		why: null,
		document: null,
		jobId: load === null ? null : 'j',
		load,
		reverses: null,
	};
}

test('a load that drew from three containers is one line with what was left after it, and an opened one none', () => {
	const rows = [
		movement(6, 'load', -4.78, 15.22, 2),
		movement(5, 'opening', 5, 20, 2),
		movement(4, 'opening', -5, 15, 2),
		movement(3, 'load', -10, 20, 2),
		movement(2, 'load', -1.1, 30, 1),
		movement(1, 'delivery', 31.1, 31.1, null),
	];
	expect(byDocument(rows, new Set()).map(({ kind, load, amount, balance }) => [kind, load, amount, balance])).toEqual([
		['load', 2, -14.78, 15.22],
		['load', 1, -1.1, 30],
		['delivery', null, 31.1, 31.1],
	]);
});

test('what was taken back stands apart from what was not', () => {
	const rows = [
		{ ...movement(3, 'reversal', 10, 15, 1), reverses: '1' },
		movement(2, 'load', -5, 5, 1),
		movement(1, 'load', -10, 10, 1),
	];
	expect(byDocument(rows, new Set(['1'])).map(({ amount }) => amount)).toEqual([10, -5, -10]);
});
