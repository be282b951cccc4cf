import { expect, test } from 'vitest';
import { readQuantity, writeQuantity } from '../../../renderer/parts/quantity.ts';

test('a decimal comma and a decimal point are read alike', () => {
	const read = ['12,5', '12.5', ' 12.5 ', '0,375', '.5', '1 875', '1 875,5', '−0.22', '1.875'].map(readQuantity);
	expect(read).toEqual(
		[12.5, 12.5, 12.5, 0.375, 0.5, 1875, 1875.5, -0.22, 1.875].map((value) => ({ state: 'read', value })),
	);
});

test('thousands marks are read where they can be nothing else', () => {
	const read = ['1,875.5', '1.875,5', '1,234,567', '1.234.567', "1'875"].map(readQuantity);
	expect(read).toEqual([1875.5, 1875.5, 1234567, 1234567, 1875].map((value) => ({ state: 'read', value })));
});

test('what differs by a factor of a thousand is asked back', () => {
	const states = ['1,875', '12,345', '1,23,4', '1.23,456.7', 'abc', '1e3', '-', '1..2'].map(
		(text) => readQuantity(text).state,
	);
	expect(states).toEqual(Array.from({ length: 8 }, () => 'unclear'));
});

test('an empty entry is neither zero nor a mistake', () => {
	expect(readQuantity('  ')).toEqual({ state: 'empty' });
});

test('what is written can be read again', () => {
	const values = [0, 0.375, 1875, 12.5, 1_234_567.125, -0.22];
	expect(values.map((value) => readQuantity(writeQuantity(value)))).toEqual(
		values.map((value) => ({ state: 'read', value })),
	);
});
