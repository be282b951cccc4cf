import type { z } from 'zod';
import type { ProductRow } from '../../db/modules/products.ts';
import type { MarginEntered, MarginOnField } from '../../shared/contract/jobs-margins.ts';
import { type Assessed, assessed, type MarginKept } from '../../shared/core/limits/margin-kept.ts';
import type { ProductDetails } from './products.ts';

type Product = ProductRow<ProductDetails>;
type Entered = z.output<typeof MarginEntered>;

/** As it is kept: with who assessed it, and nothing that was not said. */
export function keptMargin({ by, ...said }: Entered, enteredBy: string): MarginKept {
	const kept = Object.entries({ ...said, by: by ?? enteredBy }).filter(([, value]) => value !== undefined);
	return Object.fromEntries(kept) as MarginKept;
}

/**
 * Whose records hold the margins of their ground: the products of a mix whose labels ask for a distance; where none does, all
 * of them.
 */
export function holdersOfMargins(products: ReadonlyMap<string, Product>): (productId: string) => boolean {
	const asking = new Set([...products].flatMap(([id, { limits }]) => (limits.some(asksDistance) ? [id] : [])));
	return (productId) => asking.size === 0 || asking.has(productId);
}

function asksDistance({ kind, min, max }: Product['limits'][number]): boolean {
	return kind === 'buffer' && (min ?? max ?? 0) > 0;
}

/** What was entered for one field, or for every field. */
export function marginsOn(
	entered: readonly MarginOnField[] | undefined,
	{ fieldId, enteredBy }: { readonly fieldId: string; readonly enteredBy: string },
): MarginKept[] {
	return (entered ?? []).flatMap(({ fieldId: own, ...margin }) =>
		own === undefined || own === fieldId ? [keptMargin(margin, enteredBy)] : [],
	);
}

/** The margins beside one product of a record, as its label stands; undefined where none was assessed. */
export function assessedFor(
	margins: readonly MarginKept[],
	product: Pick<Product, 'limits'> | undefined,
	dosePerHa: number | null,
): Assessed | undefined {
	return margins.length === 0 ? undefined : assessed(margins, { limits: product?.limits ?? [], dosePerHa });
}
