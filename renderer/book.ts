/** The two books a window can show: the farm's own, and the invented farm to learn on. */
export type Book = 'farm' | 'demo';

const remembered = 'fillmark-book';

/** The book a location names (`/demo/fields` → demo), else the one this window showed last. */
export function bookOf(location: string): Book {
	const named = /^\/(farm|demo)(\/|$)/.exec(location)?.[1];
	if (named === 'farm' || named === 'demo') return named;
	return sessionStorage.getItem(remembered) === 'demo' ? 'demo' : 'farm';
}

/** Keeps the book for this window, so that a bare address opens the same one again. */
export function rememberBook(book: Book): void {
	sessionStorage.setItem(remembered, book);
}
