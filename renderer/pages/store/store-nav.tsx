import { SubNav } from '../../parts/sub-nav.tsx';

const parts = [
	['/store', 'On hand'],
	['/store/ledger', 'Ledger'],
	['/store/products', 'Products'],
	['/store/counts', 'Stock takes'],
	['/store/empties', 'Empties'],
	['/store/watch', 'To watch'],
] as const;

/** The parts of the store chapter. */
export function StoreNav({ at }: { readonly at: (typeof parts)[number][0] }) {
	return <SubNav label="Parts of the store" parts={parts} at={at} />;
}
