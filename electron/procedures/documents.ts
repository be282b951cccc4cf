import type { z } from 'zod';
import {
	addDocument,
	type DocumentOwner,
	type DocumentStored,
	documentContent,
	documentsOf,
	documentsPutAside,
	findDocument,
	putDocumentAside,
} from '../../db/modules/documents.ts';
import { findProducts } from '../../db/modules/products.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { documentsContract, KeptDocument } from '../../shared/contract/documents.ts';
import { type DocumentFile, readDocumentFile, sha256Of } from '../files/document-file.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { toIso } from './clock.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';
import { storeInLedger, storeSaid } from './stores.ts';

type Input<Name extends keyof typeof documentsContract> = z.output<
	(typeof documentsContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;

export async function listDocuments(
	{ db, farm }: QueryContext,
	{ productId, storeId }: Input<'list'>,
): Promise<Result<KeptDocument[]>> {
	const owner = productId === undefined ? { storeId: storeInLedger(farm, storeId) } : { productId };
	const rows = await documentsOf(db, owner);
	const stateOf = await states(db, rows);
	const aside = await documentsPutAside(db);
	return ok(
		rows.map((row) => ({
			...{ id: row.id, productId: row.productId, kind: row.kind, name: row.name, type: row.type, bytes: row.bytes },
			...{ issuedOn: row.issuedOn, sha256: row.sha256, addedAt: toIso(row.addedAt, farm.zone), by: row.who },
			...{ replaces: row.replaces, state: stateOf(row), why: aside.get(row.id)?.why ?? null },
		})),
	);
}

/** Reads the file before the transaction, then keeps it whole; an older version it replaces stays. */
export async function addNewDocument(
	_: QueryContext,
	input: Input<'add'>,
	transact: Transact,
): Promise<Result<{ id: string; sha256: string }>> {
	const read = readDocumentFile(input.path);
	if (!read.ok) return read;
	return transact((context) => keep(context, input, read.value));
}

async function keep(
	{ tx, farm, now, newId, note, signedBy }: CommandContext,
	{ kind, by, ...input }: Input<'add'>,
	{ name, type, sha256, content }: DocumentFile,
): Promise<Result<{ id: string; sha256: string }>> {
	const [productId, issuedOn, replaces] = [input.productId ?? null, input.issuedOn ?? null, input.replaces ?? null];
	const store = await storeSaid(tx, farm, input.storeId);
	if (!store.ok) return store;
	if ((kind === 'store plan') !== (productId === null)) {
		const why = productId === null ? `a ${kind} is kept with a product` : 'the plan of the store belongs to no product';
		return refuse('input.invalid', { path: 'productId', why });
	}
	if (productId !== null && input.storeId !== undefined) {
		return refuse('input.invalid', { path: 'storeId', why: 'only the plan of a store belongs to one' });
	}
	if (kind === 'store plan' && type === 'pdf') {
		return refuse('document.unknown', { file: name, why: 'the plan is printed as a picture' });
	}
	if (productId !== null && !(await findProducts(tx, [productId])).has(productId)) {
		return refuse('not.found', { what: 'product', id: productId });
	}
	const rows = await documentsOf(tx, productId === null ? { storeId: store.value } : { productId });
	const stateOf = await states(tx, rows);
	const same = rows.find((row) => row.sha256 === sha256 && row.kind === kind && stateOf(row) === 'current');
	if (same) return refuse('document.kept', { file: name, name: same.name });
	if (replaces !== null) {
		const older = rows.find(({ id }) => id === replaces);
		if (!older) return refuse('not.found', { what: 'document', id: replaces });
		if (stateOf(older) !== 'current') return refuse('document.notCurrent', { name: older.name, state: stateOf(older) });
	}
	signedBy(by);
	const id = newId();
	await addDocument(tx, {
		...{ id, farmId: farm.id, productId, kind, name, type, issuedOn, bytes: content.length, sha256, content, replaces },
		...{ addedAt: now, who: by, userId: farm.userId, deviceId: farm.deviceId, storeId: store.value },
	});
	// The audit line is linked: it holds the content to this check sum.
	note({
		table: 'document',
		id,
		before: replaces,
		after: JSON.stringify({ name, kind, bytes: content.length, sha256 }),
	});
	return ok({ id, sha256 });
}

export async function putAside(
	{ tx, now, signedBy }: CommandContext,
	{ documentId, why, by }: Input<'putAside'>,
): Promise<Result<{ id: string }>> {
	const row = await findDocument(tx, documentId);
	if (!row) return refuse('not.found', { what: 'document', id: documentId });
	const state = (await states(tx, await documentsOf(tx, ownerOf(row))))(row);
	if (state !== 'current') return refuse('document.notCurrent', { name: row.name, state });
	signedBy(by);
	await putDocumentAside(tx, { documentId, why, who: by, at: now });
	return ok({ id: documentId });
}

export async function saveDocument(
	{ db, book }: QueryContext,
	{ documentId, path }: Input<'save'>,
): Promise<Result<{ path: string }>> {
	const found = await wholeDocument(db, documentId);
	if (!found.ok) return found;
	const { row, content } = found.value;
	const ending = row.type === 'jpeg' ? 'jpg' : row.type;
	const stem = row.name.replace(/\.[^.]*$/, '');
	const written = writeExport(exportPath(book.folder, path, stem, ending), content);
	return written.ok ? ok({ path: written.value }) : written;
}

export async function documentPicture(
	{ db }: QueryContext,
	{ documentId }: Input<'picture'>,
): Promise<Result<{ dataUrl: string }>> {
	const found = await wholeDocument(db, documentId);
	if (!found.ok) return found;
	const { row, content } = found.value;
	if (row.type === 'pdf') return refuse('document.unknown', { file: row.name, why: 'it is no picture' });
	return ok({ dataUrl: `data:image/${row.type};base64,${content.toString('base64')}` });
}

/** The content of a document, held against its check sum. */
export async function wholeDocument(db: ReadDb, id: string): Promise<Result<{ row: DocumentStored; content: Buffer }>> {
	const row = await findDocument(db, id);
	const content = row && (await documentContent(db, id));
	if (!row || !content) return refuse('not.found', { what: 'document', id });
	return sha256Of(content) === row.sha256 ? ok({ row, content }) : refuse('document.damaged', { name: row.name });
}

/** Documents that were neither replaced nor put aside; newest first. */
export async function documentsInUse(db: ReadDb, owner: DocumentOwner): Promise<DocumentStored[]> {
	const rows = await documentsOf(db, owner);
	const stateOf = await states(db, rows);
	return rows.filter((row) => stateOf(row) === 'current');
}

function ownerOf({ productId, storeId }: DocumentStored): DocumentOwner {
	return productId === null ? { storeId } : { productId };
}

async function states(db: ReadDb, rows: readonly DocumentStored[]) {
	const aside = await documentsPutAside(db);
	const replaced = new Set(rows.map(({ replaces }) => replaces));
	return ({ id }: DocumentStored): KeptDocument['state'] => {
		if (aside.has(id)) return 'put aside';
		return replaced.has(id) ? 'replaced' : 'current';
	};
}
