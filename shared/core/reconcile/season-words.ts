import { writtenFigure } from '../../basics/written-figure.ts';
import type { ProductAmount } from '../../units/quantity.ts';

/** How the season comparison writes its figures: short, with a unit, the same in every language setting. */

/** `2.5`, `12.3`, `310`: three figures are plenty for a difference. */
export function figure(value: number): string {
	const size = Math.abs(value);
	const digits = size < 1 ? 3 : size < 10 ? 2 : size < 100 ? 1 : 0;
	return writtenFigure(value, digits);
}

/** `2.5 L`. */
export function amountText(amount: number, unit: string): string {
	return `${figure(Math.abs(amount))} ${unit}`;
}

/** `3 %`. */
export function percentText(share: number): string {
	return `${Number((100 * Math.abs(share)).toFixed(1))} %`;
}

/** `half a 5 L container`, `3 containers of 5 L`, `about 0.7 of a 5 L container`. */
export function inContainers(amount: ProductAmount, size: ProductAmount, unit: string): string {
	const packs = Math.abs(amount) / size;
	const whole = Math.round(packs);
	if (whole >= 1 && Math.abs(packs - whole) < 0.05 * Math.max(1, Math.sqrt(whole))) return packsText(whole, size, unit);
	const part = PARTS.find(({ share }) => Math.abs(packs - share) < 0.05);
	if (part !== undefined) return `${part.word} a ${size} ${unit} container`;
	if (packs < 1) return `about ${figure(Math.max(0.1, Number(packs.toFixed(1))))} of a ${size} ${unit} container`;
	return `about ${figure(Number(packs.toFixed(1)))} containers of ${size} ${unit}`;
}

/** `one 5 L container`, `3 containers of 5 L`. */
export function packsText(count: number, size: ProductAmount, unit: string): string {
	return count === 1 ? `one ${size} ${unit} container` : `${count} containers of ${size} ${unit}`;
}

/** `A`, `A and B`, `A, B and C`, `A, B, C and 4 more`. */
export function listed(names: readonly string[]): string {
	const shown = names.length > 4 ? [...names.slice(0, 3), `${names.length - 3} more`] : names;
	if (shown.length < 2) return shown.join('');
	return `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`;
}

const PARTS = [
	{ share: 0.25, word: 'a quarter of' },
	{ share: 0.5, word: 'half' },
	{ share: 0.75, word: 'three quarters of' },
];
