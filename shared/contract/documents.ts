import { z } from 'zod';
import { command, Id, Key, LocalDate, query, Text } from './procedure.ts';

export const DocumentKind = z.enum(['label', 'safety data sheet', 'other', 'store plan']);
export type DocumentKind = z.infer<typeof DocumentKind>;

const Kept = z.strictObject({
	id: Id,
	productId: Id.nullable(),
	kind: DocumentKind,
	name: z.string(),
	type: z.enum(['pdf', 'png', 'jpeg']),
	issuedOn: LocalDate.nullable().describe('date printed on it'),
	bytes: z.int(),
	sha256: z.string(),
	addedAt: z.string(),
	by: z.string(),
	replaces: Id.nullable(),
	state: z.enum(['current', 'replaced', 'put aside']),
	why: z.string().nullable().describe('why it was put aside'),
});
export type KeptDocument = z.infer<typeof Kept>;

const path = z.string().min(1);

export const documentsContract = {
	list: query(
		'Documents kept with a product, or with the store; the newest first',
		z.strictObject({
			productId: Id.optional().describe('left out: those of a store'),
			storeId: Id.optional().describe('left out: the first'),
		}),
		z.array(Kept),
	),
	add: command(
		'Keeps a label, a safety data sheet or another PDF or picture inside the books',
		z.strictObject({
			key: Key,
			path,
			productId: Id.optional().describe('left out: for the plan of a store'),
			storeId: Id.optional().describe('whose plan it is; left out: of the first'),
			kind: DocumentKind,
			issuedOn: LocalDate.optional(),
			replaces: Id.optional().describe('the older version, which stays for the records made under it'),
			by: Text,
		}),
		z.strictObject({ id: Id, sha256: z.string() }),
	),
	putAside: command(
		'Takes a document out of use; it stays in the books',
		z.strictObject({ key: Key, documentId: Id, why: Text, by: Text }),
		z.strictObject({ id: Id }),
	),
	save: query(
		'Writes a document out again, checked against what was taken in',
		z.strictObject({
			documentId: Id,
			path: path.optional().describe('left out: into the exports folder of the books'),
		}),
		z.strictObject({ path }),
	),
	picture: query(
		'A picture among the documents, to be shown',
		z.strictObject({ documentId: Id }),
		z.strictObject({ dataUrl: z.string() }),
	),
};
