/**
 * A figure as sentences write it, the same in every language setting: at most so many decimals, none that say nothing,
 * thousands set apart. `3,261`, `0.125`, `28,000`.
 */
export function writtenFigure(value: number, decimals: number): string {
	const [whole = '', part] = String(Number(value.toFixed(decimals))).split('.');
	const apart = whole.replace(/\B(?=(\d{3})+$)/g, ',');
	return part === undefined ? apart : `${apart}.${part}`;
}
