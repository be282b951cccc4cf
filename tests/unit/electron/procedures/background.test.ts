import { expect, test } from 'vitest';
import { refusal, testBooks } from './test-books.ts';

const layer = { kind: 'xyz', address: 'https://tiles.example/{z}/{x}/{y}.png', credit: '© County Survey' } as const;

test('a background is set, stays through other changes, and is taken away', async () => {
	const { api } = testBooks();
	expect((await api.settings.get({})).background).toBeNull();
	const whole = { ...layer, layers: null, deepestZoom: 19 };
	expect((await api.settings.setBackground({ key: 'a', background: layer })).background).toEqual(whole);
	expect((await api.settings.save({ key: 'b', operator: 'A. Marsh' })).background).toEqual(whole);
	expect((await api.settings.setBackground({ key: 'c', background: null })).background).toBeNull();
	expect((await api.settings.get({})).background).toBeNull();
});

test('an address that will not do is refused and the one before stays', async () => {
	const { api } = testBooks();
	await api.settings.setBackground({ key: 'a', background: layer });
	const bad = { ...layer, address: 'http://tiles.example/{z}/{x}/{y}.png' };
	expect(await refusal(api.settings.setBackground({ key: 'b', background: bad }))).toEqual({
		code: 'background.unusable',
		details: { why: 'begin it with https://, so that nobody reads along' },
	});
	expect((await api.settings.get({})).background?.address).toBe(layer.address);
});

test('the demonstration farm has no ground to lay under it', async () => {
	const { api } = testBooks({ demo: true });
	expect((await refusal(api.settings.setBackground({ key: 'a', background: layer }))).code).toBe('demo.noBackground');
});
