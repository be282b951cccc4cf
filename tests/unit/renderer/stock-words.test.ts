import { expect, test } from 'vitest';
import { byDocument, movementWords } from '../../../renderer/pages/store/stock-words.ts';
import { movement } from './sample-movement.ts';

test('a load that drew from three containers is one line with what was left after it, and an opened one none', () => {
	const rows = [
		movement(6, 'load', -4.78, { balance: 15.22, load: 2 }),
		movement(5, 'opening', 5, { balance: 20, load: 2 }),
		movement(4, 'opening', -5, { balance: 15, load: 2 }),
		movement(3, 'load', -10, { balance: 20, load: 2 }),
		movement(2, 'load', -1.1, { balance: 30, load: 1 }),
		movement(1, 'delivery', 31.1, { balance: 31.1 }),
	];
	expect(byDocument(rows, new Set()).map(({ kind, load, amount, balance }) => [kind, load, amount, balance])).toEqual([
		['load', 2, -14.78, 15.22],
		['load', 1, -1.1, 30],
		['delivery', null, 31.1, 31.1],
	]);
});

test('what was taken back stands apart from what was not', () => {
	const rows = [
		movement(3, 'reversal', 10, { load: 1, reverses: '1' }),
		movement(2, 'load', -5, { balance: 5, load: 1 }),
		movement(1, 'load', -10, { balance: 10, load: 1 }),
	];
	expect(byDocument(rows, new Set(['1'])).map(({ amount }) => amount)).toEqual([10, -5, -10]);
});

test('an opening that was taken back says so in the ledger, and is no line where documents are told', () => {
	const closed = movement(4, 'opening', 5, { load: 2, reverses: '2' });
	expect(movementWords(closed)).toBe('opening of a container taken back, load 2');
	expect(movementWords(movement(2, 'opening', -5, { load: 2 }))).toBe('container opened, load 2');
	const rows = [closed, movement(3, 'load', -5, { balance: 5, load: 2 }), movement(2, 'opening', -5, { load: 2 })];
	expect(byDocument(rows, new Set(['2'])).map(({ kind }) => kind)).toEqual(['load']);
});
