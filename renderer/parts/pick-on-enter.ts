import type { KeyboardEvent } from 'react';

const MARKED = '[data-combobox-selected]';
const FIRST = '[data-combobox-option]:not([data-combobox-disabled])';

/**
 * Enter takes what the open list marks, else the first that matches what was typed, also where the list has only just come
 * up: the library's own Enter misses options that came late and a list that is being opened.
 */
export function pickOnEnter(isTyped: (text: string) => boolean) {
	return (event: KeyboardEvent<HTMLInputElement>): void => {
		const input = event.currentTarget;
		if (event.key !== 'Enter' || event.nativeEvent.isComposing || !isListed(input)) return;
		const isMarked = optionOf(input, MARKED) !== null;
		if (!isMarked && !isTyped(input.value)) return;
		event.preventDefault();
		const first = isMarked ? null : optionOf(input, FIRST);
		if (first) first.click();
		// What the library took has closed the list by then.
		else requestAnimationFrame(() => isListed(input) && optionOf(input, isMarked ? MARKED : FIRST)?.click());
	};
}

function isListed(input: HTMLInputElement): boolean {
	return input.dataset['expanded'] !== undefined;
}

function optionOf(input: HTMLInputElement, which: string): HTMLElement | null {
	const list = document.getElementById(input.getAttribute('aria-controls') ?? '');
	return list?.querySelector<HTMLElement>(which) ?? null;
}
