import { addDays } from '../../../shared/basics/calendar.ts';
import type { Movement, StockLine } from '../../../shared/contract/store.ts';
import { bareAmount, figure, today } from '../../format.ts';
import type { Units } from '../../units.ts';

/** Days before its end at which a batch is pointed out. Common practice: a season's half. */
const SOON_DAYS = 180;

/** Pack sizes as people say them: `3 × 5 L + 1 × 20 L`. */
export function packWords(packs: StockLine['packs'], unit: string): string {
	const words = packs
		.filter((pack) => pack.count !== 0)
		.map((pack) => `${figure(pack.count)} × ${size(pack.size)} ${unit}`);
	return words.length > 0 ? words.join(' + ') : 'none';
}

/** Opened containers: `5 L with 2.3 left`. */
export function openedWords(opened: StockLine['opened'], unit: string): string {
	return opened.map((each) => `${size(each.size)} ${unit} with ${bareAmount(each.left)} left`).join(', ');
}

/** A pack size without needless decimals: `5`, `0.5`, `1,000`. */
export function size(value: number): string {
	const whole = Math.trunc(value);
	return whole < 1000
		? String(Number(value.toFixed(3)))
		: `${figure(whole)}${String(Number((value - whole).toFixed(3))).slice(1)}`;
}

/** The batch that runs out first, and whether that is past or near. */
export function firstExpiry(
	line: StockLine,
): { readonly on: string; readonly state: 'past' | 'soon' | 'later' } | null {
	const dates = line.lots.flatMap((lot) => (lot.expires !== null && lot.count > 0 ? [lot.expires] : [])).sort();
	const on = dates[0];
	if (on === undefined) return null;
	const now = today();
	return { on, state: on < now ? 'past' : on <= addDays(now, SOON_DAYS) ? 'soon' : 'later' };
}

/** What a line of the ledger did: `delivery`, `load 2`, `container opened, load 2`. */
export function movementWords({ kind, load, reverses }: Pick<Movement, 'kind' | 'load' | 'reverses'>): string {
	if (kind === 'opening') {
		const what = reverses === null ? 'container opened' : 'opening of a container taken back';
		return load === null ? what : `${what}, load ${load}`;
	}
	return load === null ? kind : `${kind} ${load}`;
}

/**
 * What one document did to the amount of a product, newest first as given: a load that drew from three containers is one
 * line, and a container that was opened changes nothing.
 */
export function byDocument(rows: readonly Movement[], reversed: ReadonlySet<string>): readonly Movement[] {
	const lines = new Map<string, Movement>();
	for (const row of rows) {
		if (row.kind === 'opening') continue;
		const document = JSON.stringify([
			row.kind,
			row.jobId,
			row.load,
			row.occurredAt,
			row.document,
			reversed.has(row.id),
		]);
		const line = lines.get(document);
		lines.set(document, line ? { ...line, amount: toMicro(line.amount + row.amount) } : row);
	}
	// A move between own stores came from one and went to another: on the whole nothing changed.
	return [...lines.values()].filter(({ kind, amount }) => kind !== 'transfer' || amount !== 0);
}

/** Sums of litres and kilograms, to the µL and mg they are kept in. */
function toMicro(amount: number): number {
	return Math.round(amount * 1e6) / 1e6;
}

/** `10, 5 L`; each with its unit where they are read in another. */
export function packSizeWords(
	{ packSizes, unit }: { readonly packSizes: readonly number[]; readonly unit: string },
	{ units, say }: Units,
): string {
	if (units === 'metric') return `${packSizes.map(size).join(', ')} ${unit}`;
	return packSizes.map((one) => say(`${size(one)} ${unit}`)).join(', ');
}
