import { invariant } from '../../basics/result.ts';

export type WasteKind =
	| 'rinsed containers'
	| 'unrinsed containers'
	| 'caps and foils'
	| 'absorbents and clothing'
	| 'product';

export type WasteRule = {
	/** Code of the European list of waste (2000/532/EC); * is hazardous. From memory. */
	readonly code: string;
	readonly hazardous: boolean;
	/** How it is counted. */
	readonly unit: 'pieces' | 'bags' | 'kg';
	readonly note: 'transfer note' | 'consignment note';
};

/**
 * What each kind of waste counts as. Rinsed containers are non-hazardous, unrinsed ones hazardous (trade guide on
 * container cleaning, read for this program). For caps and foils no neutral source was found: taken as hazardous.
 */
export const wasteRules: Readonly<Record<WasteKind, WasteRule>> = {
	'rinsed containers': { code: '15 01 02', hazardous: false, unit: 'pieces', note: 'transfer note' },
	'unrinsed containers': { code: '15 01 10*', hazardous: true, unit: 'pieces', note: 'consignment note' },
	'caps and foils': { code: '15 01 10*', hazardous: true, unit: 'bags', note: 'consignment note' },
	'absorbents and clothing': { code: '15 02 02*', hazardous: true, unit: 'kg', note: 'consignment note' },
	product: { code: '02 01 08*', hazardous: true, unit: 'kg', note: 'consignment note' },
};

/** Source: NetRegs, disposing of pesticides and biocides: transfer note 2 years, consignment note 3 years. */
const YEARS_KEPT = { 'transfer note': 2, 'consignment note': 3 } as const;

/** Until when the papers of a collection are kept: its date + the longest time of any kind in it. */
export function keepUntil(date: string, kinds: readonly WasteKind[]): string {
	invariant(kinds.length > 0, 'a collection takes something away');
	const years = Math.max(...kinds.map((kind) => YEARS_KEPT[wasteRules[kind].note]));
	const year = Number(date.slice(0, 4)) + years;
	const rest = date.slice(4);
	const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
	return `${year}${rest === '-02-29' && !leap ? '-03-01' : rest}`;
}
