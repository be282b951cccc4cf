import { findProducts } from '../../db/modules/products.ts';
import { listRecords } from '../../db/modules/records.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { MarginOnField } from '../../shared/contract/jobs-margins.ts';
import { confinedBy } from '../../shared/core/records/rule-sets.ts';
import { given } from './given.ts';
import type { CommandContext } from './handler.ts';
import { assessedFor, holdersOfMargins, marginsOn } from './margins.ts';
import type { ProductDetails } from './products.ts';
import { type Known, needsNumber, type RecordDetails, recordDetails, writeVersions } from './records.ts';

/**
 * Adds what the records of a job still lack; authorisation numbers, and what the limits confine, come from the products.
 * What a record says stays.
 */
export async function completeRecords(
	context: CommandContext,
	input: Known & {
		jobId: string;
		by: string;
		key: string;
		margins?: readonly MarginOnField[] | undefined;
		eppoCodes: readonly { readonly crop: string; readonly eppoCode: string }[];
	},
): Promise<Result<{ recordIds: string[] }>> {
	const { jobId, by, key: _, eppoCodes, margins, ...known } = input;
	const rows = await listRecords(context.tx, { jobId });
	if (rows.length === 0) return refuse('not.found', { what: 'records of job', id: jobId });
	const codes = new Map(eppoCodes.map(({ crop, eppoCode }) => [crop, eppoCode]));
	const uncoded = new Set(rows.map(recordDetails).flatMap(({ crop, eppoCode }) => (crop && !eppoCode ? [crop] : [])));
	if (known.eppoCode && uncoded.size > 1) {
		return refuse('input.invalid', {
			path: 'eppoCode',
			why: `one code cannot be that of ${[...uncoded].join(', ')}: give each crop its own in eppoCodes`,
		});
	}
	const products = await findProducts<ProductDetails>(context.tx, [...new Set(rows.map((row) => row.productId))]);
	const holdsMargins = holdersOfMargins(products);
	const additions = given(known);
	const changed = rows
		.map((row) => {
			const product = products.get(row.productId);
			const known = recordDetails(row);
			const authorisationNo = product?.authorisationNo ?? null;
			const confined = [...new Set([...known.confined, ...confinedBy(product?.limits ?? [])])];
			const needsAuthorisation = product ? needsNumber(product) : known.needsAuthorisation;
			const eppoCode = codes.get(known.crop ?? '') ?? additions.eppoCode;
			const onField = row.fieldId ? marginsOn(margins, { fieldId: row.fieldId, enteredBy: by }) : [];
			const assessed =
				row.washedM2 === null && holdsMargins(row.productId)
					? assessedFor(onField, product, known.dosePerHa)
					: undefined;
			const added = { ...additions, ...given({ eppoCode, assessed }), authorisationNo };
			return { row, details: { ...completed(known, added), confined, needsAuthorisation } };
		})
		.filter(({ row, details }) => JSON.stringify(details) !== JSON.stringify({ ...recordDetails(row) }));
	await writeVersions(context, changed, { why: 'completed', by });
	return ok({ recordIds: rows.map(({ recordId }) => recordId) });
}

/** What a record says stays, of the weather too; the additions fill what it leaves open. */
function completed(details: RecordDetails, additions: Partial<RecordDetails>): RecordDetails {
	const weather = additions.weather ? { ...additions.weather, ...given(details.weather ?? {}) } : details.weather;
	return { ...details, ...additions, ...filled(details), weather };
}

function filled(details: RecordDetails): Partial<RecordDetails> {
	return Object.fromEntries(Object.entries(details).filter(([, value]) => value !== null)) as Partial<RecordDetails>;
}
