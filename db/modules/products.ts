import { and, asc, eq, inArray } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { product } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

/** Everything about a product that no query filters on; kept as JSON, its shape is the contract's. */
export type ProductRow<Details> = Details & {
	readonly id: string;
	readonly name: string;
	readonly formulation: string;
	readonly unit: 'L' | 'kg';
	readonly version: number;
};

type Stored = typeof product.$inferSelect;

function fromRow<Details>(row: Stored): ProductRow<Details> {
	const { id, name, formulation, unit, version } = row;
	return { ...(JSON.parse(row.details) as Details), id, name, formulation, unit, version };
}

function detailsOf(row: object): string {
	const { id: _, name: __, formulation: ___, unit: ____, version: _____, ...details } = row as Record<string, unknown>;
	return JSON.stringify(details);
}

/** Every product, by name. */
export async function listProducts<Details>(db: ReadDb): Promise<ProductRow<Details>[]> {
	const rows = await db.select().from(product).orderBy(asc(product.name), asc(product.formulation), asc(product.id));
	return rows.map((row) => fromRow<Details>(row));
}

/** Some products, by id. */
export async function findProducts<Details>(
	db: ReadDb,
	ids: readonly string[],
): Promise<Map<string, ProductRow<Details>>> {
	const rows = await db
		.select()
		.from(product)
		.where(inArray(product.id, [...ids]));
	return new Map(rows.map((row) => [row.id, fromRow<Details>(row)]));
}

/** The product with this name and formulation, if there is one. */
export async function productNamed(db: ReadDb, name: string, formulation: string): Promise<string | null> {
	const [row] = await db
		.select({ id: product.id })
		.from(product)
		.where(and(eq(product.name, name), eq(product.formulation, formulation)));
	return row?.id ?? null;
}

export async function addProduct<Details extends object>(
	tx: WriteDb,
	row: ProductRow<Details>,
	{ farmId, now }: { farmId: string; now: number },
): Promise<void> {
	const { id, name, formulation, unit, version } = row;
	await tx
		.insert(product)
		.values({ id, farmId, name, formulation, unit, version, createdAt: now, details: detailsOf(row) });
}

export async function saveProduct<Details extends object>(tx: WriteDb, row: ProductRow<Details>): Promise<void> {
	const { id, name, formulation, unit, version } = row;
	const done = await tx
		.update(product)
		.set({ name, formulation, unit, version: version + 1, details: detailsOf(row) })
		.where(and(eq(product.id, id), eq(product.version, version)));
	invariant(done.changes === 1, 'the product was saved once');
}
