import { and, desc, eq, getTableColumns, isNull } from 'drizzle-orm';
import { document, documentPutAside } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

type Stored = typeof document.$inferSelect;
export type PutAsideStored = typeof documentPutAside.$inferSelect;
/** A document without its content. */
export type DocumentStored = Omit<Stored, 'content'>;

const { content: _, ...without } = getTableColumns(document);

/** Whose documents: a product's, or a store's as the ledger names it (null: the first). */
export type DocumentOwner = { readonly productId: string } | { readonly storeId: string | null };

/** Documents of a product or a store, newest first. */
export async function documentsOf(db: ReadDb, owner: DocumentOwner): Promise<DocumentStored[]> {
	const { productId, storeId } = document;
	return db
		.select(without)
		.from(document)
		.where(
			'productId' in owner
				? eq(productId, owner.productId)
				: and(isNull(productId), owner.storeId === null ? isNull(storeId) : eq(storeId, owner.storeId)),
		)
		.orderBy(desc(document.addedAt), desc(document.id));
}

export async function findDocument(db: ReadDb, id: string): Promise<DocumentStored | null> {
	const [row] = await db.select(without).from(document).where(eq(document.id, id));
	return row ?? null;
}

export async function documentContent(db: ReadDb, id: string): Promise<Buffer | null> {
	const [row] = await db.select({ content: document.content }).from(document).where(eq(document.id, id));
	return row?.content ?? null;
}

export async function addDocument(tx: WriteDb, row: Stored): Promise<void> {
	await tx.insert(document).values(row);
}

export async function documentsPutAside(db: ReadDb): Promise<Map<string, PutAsideStored>> {
	const rows = await db.select().from(documentPutAside);
	return new Map(rows.map((row) => [row.documentId, row]));
}

export async function putDocumentAside(tx: WriteDb, row: PutAsideStored): Promise<void> {
	await tx.insert(documentPutAside).values(row);
}
