import { type RefObject, useEffect, useRef } from 'react';

/** A button that waits for its answer loses the focus; this gives it back when the answer is there and nothing else took it. */
export function useRefocus(busy: boolean): RefObject<HTMLButtonElement | null> {
	const button = useRef<HTMLButtonElement>(null);
	const waited = useRef(false);
	useEffect(() => {
		const nobody = document.activeElement === null || document.activeElement === document.body;
		if (waited.current && !busy && nobody) button.current?.focus({ preventScroll: true });
		waited.current = busy;
	}, [busy]);
	return button;
}
