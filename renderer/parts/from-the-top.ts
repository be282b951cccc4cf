import { useEffect } from 'react';
import { useLocation } from 'wouter';

let goingBack = false;
window.addEventListener('popstate', () => {
	goingBack = true;
});

/** A page opened by a link begins at its top; going back leaves it to the browser to find the place again. */
export function useFromTheTop(): void {
	const [location] = useLocation();
	// biome-ignore lint/correctness/useExhaustiveDependencies: each new location is a new page
	useEffect(() => {
		if (!goingBack) window.scrollTo(0, 0);
		goingBack = false;
	}, [location]);
}
