import type { KeyboardEvent } from 'react';

/**
 * Enter takes what the open list marks, else the first that matches what was typed, also where the list has only just come
 * up: the library's own Enter knows neither options that came late nor a list that is being opened.
 */
export function pickOnEnter(isTyped: (text: string) => boolean) {
	return (event: KeyboardEvent<HTMLInputElement>): void => {
		const input = event.currentTarget;
		if (event.key !== 'Enter' || event.nativeEvent.isComposing || input.dataset['expanded'] === undefined) return;
		const typed = isTyped(input.value);
		if (marked(input, typed) === null && !typed) return;
		event.preventDefault();
		event.stopPropagation();
		const option = marked(input, typed);
		if (option) option.click();
		else requestAnimationFrame(() => marked(input, typed)?.click());
	};
}

function marked(input: HTMLInputElement, orFirst: boolean): HTMLElement | null {
	const list = document.getElementById(input.getAttribute('aria-controls') ?? '');
	const first = orFirst ? '[data-combobox-option]:not([data-combobox-disabled])' : null;
	return (
		list?.querySelector<HTMLElement>('[data-combobox-selected]') ??
		(first === null ? null : (list?.querySelector<HTMLElement>(first) ?? null))
	);
}
