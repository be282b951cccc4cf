/** Refusals that end by logging the load as short: the tank is right, the book may be wrong. */
const codes: ReadonlySet<string> = new Set(['store.short', 'store.shortHere', 'store.batchShort']);

export function mayLogShort(code: string | undefined): boolean {
	return code !== undefined && codes.has(code);
}
