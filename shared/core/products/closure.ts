/** How the packs of one size are closed, as far as somebody looked. */
export type Closure = {
	readonly size: number;
	/** A foil under the cap, to be cut or peeled before the first pour. */
	readonly foil: boolean;
	readonly capMm?: number | undefined;
	/** The neck takes the coupling of a closed transfer system (ISO 21191). */
	readonly closedTransfer: boolean;
};

/**
 * Is a container of this size drawn by closed transfer?
 *
 * Takes whether the farm draws the product that way, and the closures. A size nobody looked at is taken to fit; an opened
 * pack's rest or a measured part is no pack size, and goes by the largest pack. Common practice.
 */
export function drawnClosed(
	product: { readonly closedTransfer: boolean; readonly closures: readonly Closure[] },
	size: number,
): boolean {
	if (!product.closedTransfer) return false;
	const largest = [...product.closures].sort((a, b) => b.size - a.size)[0];
	const own = product.closures.find((closure) => closure.size === size) ?? largest;
	return own?.closedTransfer ?? true;
}

export type CapsAndFoils = { readonly caps: number; readonly foils: number; readonly notEntered: number };

/**
 * Caps and foils that emptied containers leave behind, in pieces: a cap each, a foil where the size has one. Containers
 * whose closure nobody entered are counted apart, not guessed. Bags have neither: enter none for them.
 */
export function capsAndFoils(
	emptied: readonly { readonly closure: Closure | undefined; readonly pieces: number }[],
): CapsAndFoils {
	const sum = (counts: (closure: Closure | undefined) => boolean) =>
		emptied.reduce((total, { closure, pieces }) => (counts(closure) ? total + pieces : total), 0);
	return {
		caps: sum((closure) => closure !== undefined),
		foils: sum((closure) => closure?.foil ?? false),
		notEntered: sum((closure) => closure === undefined),
	};
}

/** `63 mm cap, foil, closed transfer`. */
export function closureWords({ foil, capMm, closedTransfer }: Closure): string {
	const parts = [
		capMm ? `${capMm} mm cap` : 'cap',
		...(foil ? ['foil'] : []),
		...(closedTransfer ? ['closed transfer'] : []),
	];
	return parts.join(', ');
}
