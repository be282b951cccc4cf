import { useState } from 'react';
import { useBook } from '../../api.ts';

const kept = new Map<string, unknown>();

/**
 * State that outlives its page: what was entered is still there after a look into the store, until it is saved or the
 * window closes. Untouched, it is made afresh each time.
 */
export function useKept<Value>(
	name: string,
	make: () => Value,
): readonly [Value, (change: (now: Value) => Value) => void, () => void] {
	const place = `${useBook()} ${name}`;
	const [value, setValue] = useState<Value>(() => (kept.has(place) ? (kept.get(place) as Value) : make()));

	function change(by: (now: Value) => Value): void {
		setValue((now) => {
			const next = by(now);
			kept.set(place, next);
			return next;
		});
	}

	function forget(): void {
		kept.delete(place);
		setValue(make());
	}

	return [value, change, forget];
}

/** Something small this computer remembers from entry to entry: who sprays, at what height the wind is measured. */
export function useRemembered(name: string): readonly [string, (value: string) => void] {
	const place = `fillmark-${useBook()}-${name}`;
	return [localStorage.getItem(place) ?? '', (value) => localStorage.setItem(place, value)];
}
