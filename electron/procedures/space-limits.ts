import { type JobStored, jobProducts, loadLogs } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import { listRecords } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { jobsInSpace } from '../../db/modules/spaces.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonDates, seasonOf } from '../../shared/basics/calendar.ts';
import type { PlannedIndoors, PlannedSpace } from '../../shared/contract/jobs-indoors.ts';
import type { Begun, Finding, Treatment } from '../../shared/core/limits/limit.ts';
import { checkSpaceLimits } from '../../shared/core/limits/space-limits.ts';
import { emptySpace, type SpaceUnit, spaceDoses } from '../../shared/core/loads/closed-space.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { splitWithoutLoss } from '../../shared/units/split.ts';
import { applied, asPlanned, authorisationOf } from './applied-product.ts';
import { hourOf, toLocalDate } from './clock.ts';
import { detailsOf, finishedLoads } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { recordDetails } from './records.ts';
import { type KeptDose, shownDose } from './said-dose.ts';
import type { SpacePart } from './treated-now.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow };

type InSpaces = Pick<PlannedIndoors, 'spaces'> & {
	readonly date: string;
	readonly begun?: readonly Begun[];
	readonly products: readonly { readonly product: ProductRow<ProductDetails>; readonly kept: KeptDose }[];
	/** The job itself: what it has done already is no other treatment. */
	readonly jobId: string | undefined;
	/** Looked back at: only what began there before this moment counts, by the numbers of its entries; nothing planned. */
	readonly before?: number | undefined;
};

/** What is treated while nothing is stored or grown in it goes by the name of the empty place. */
export function heldIn({ crop, eppoCode, kind }: Pick<PlannedSpace, 'crop' | 'eppoCode' | 'kind'>): {
	readonly names: string[];
	readonly words: string;
} {
	const names = [eppoCode, crop].filter((name) => name !== undefined);
	return { names: crop === undefined ? [] : names, words: crop ?? emptySpace(kind) };
}

/** A finding with the names of the space and the product. */
export type FoundInSpace = Finding & { readonly field: string; readonly product?: string };

/** Every limit that means something in closed spaces, each with what was done there before and what is planned. */
export async function findingsInSpaces(books: Books, { spaces, ...work }: InSpaces): Promise<FoundInSpace[]> {
	const found: FoundInSpace[] = [];
	for (const space of spaces) found.push(...(await findingsInSpace(books, space, work)));
	return found;
}

async function findingsInSpace(
	{ db, farm }: Books,
	space: PlannedSpace,
	{ date, begun, products, jobId, before }: Omit<InSpaces, 'spaces'>,
): Promise<FoundInSpace[]> {
	const held = heldIn(space);
	const findings = checkSpaceLimits({
		spaceId: space.spaceId,
		holds: held.names,
		situation: held.words,
		date,
		begun,
		season: seasonDates(seasonOf(date, farm.seasonStartMonth), farm.seasonStartMonth),
		products: products.map(({ product, kept }) => ({
			...applied(product, 0),
			dose: shownDose(kept, product, kept.figure),
			limits: [...product.limits, ...authorisationOf(product)],
		})),
		history: await doneThere(db, { spaceId: space.spaceId, jobId, before }),
	});
	const names = new Map(products.map(({ product }) => [product.id, product.name]));
	return findings.map((finding) => {
		const product = names.get(finding.productId ?? '');
		return { ...finding, field: space.name, ...(product ? { product } : {}) };
	});
}

/** What stands against it: blocks, warnings and questions. */
export async function standingInSpaces(books: Books, work: InSpaces): Promise<FoundInSpace[]> {
	return (await findingsInSpaces(books, work)).filter(
		({ verdict }) => verdict === 'block' || verdict === 'warn' || verdict === 'ask',
	);
}

/** A saved job as its limits look at it. */
export async function jobInSpaces(
	db: ReadDb,
	job: JobStored,
): Promise<(InSpaces & { readonly unit: SpaceUnit }) | null> {
	const { indoors, doses } = detailsOf(job);
	if (!indoors) return null;
	const lines = await jobProducts(db, [job.id]);
	const rows = await findProducts<ProductDetails>(
		db,
		lines.map(({ line }) => line.productId),
	);
	const products = lines.flatMap(({ line }) => {
		const product = rows.get(line.productId);
		const kept = doses[line.productId] ?? { way: spaceDoses[indoors.unit].way, figure: line.dose };
		return product ? [{ product, kept }] : [];
	});
	return { ...indoors, date: job.sprayDate, products, jobId: job.id };
}

type AppliedInSpaces = Pick<Applied, 'job' | 'poured'> & { readonly spaces: readonly SpacePart[] };

/** The same of all closed spaces that one log treated, which share what was poured by their size. */
export async function checkAppliedInSpaces(
	books: Books,
	{ job, spaces, poured }: AppliedInSpaces,
): Promise<FoundInSpace[]> {
	const shares = sharedOut(poured, spaces);
	const found: FoundInSpace[] = [];
	for (const [index, { spaceId, startedAt, amount: quantity }] of spaces.entries()) {
		found.push(
			...(await checkAppliedInSpace(books, { job, spaceId, startedAt, quantity, poured: shares[index] ?? [] })),
		);
	}
	return found;
}

/** What was poured, as it went into each closed space: by what of it was treated, in its own unit. */
export function sharedOut<Line extends { readonly amount: number }>(
	poured: readonly Line[],
	spaces: readonly { readonly amount: number }[],
): Line[][] {
	const shares = poured.map(({ amount }) =>
		splitWithoutLoss(
			amount,
			spaces.map((space) => space.amount),
		),
	);
	return spaces.map((_, index) => poured.map((line, at) => ({ ...line, amount: shares[at]?.[index] ?? 0 })));
}

type Applied = {
	readonly job: JobStored;
	readonly spaceId: string;
	readonly startedAt: number;
	/** What of the space was treated. */
	readonly quantity: number;
	readonly poured: readonly { readonly productId: string; readonly amount: number }[];
	readonly before?: number;
};

/** The limits on what truly happened. They never stop the record; they stand on it. */
export async function checkAppliedInSpace(
	books: Books,
	{ job, spaceId, startedAt, quantity, poured, before }: Applied,
): Promise<FoundInSpace[]> {
	const planned = await jobInSpaces(books.db, job);
	const space = planned?.spaces.find((each) => each.spaceId === spaceId);
	if (!planned || !space || quantity === 0) return [];
	const doses = quantity / spaceDoses[planned.unit].per;
	return findingsInSpace(books, space, {
		...planned,
		before,
		date: toLocalDate(startedAt, books.farm.zone),
		begun: [{ hour: hourOf(startedAt, books.farm.zone) }],
		products: planned.products.flatMap(({ product, kept }) => {
			const amount = poured.find(({ productId }) => productId === product.id)?.amount ?? 0;
			if (amount === 0) return [];
			const figure = asPlanned(fromStockAmount(amount) / doses, {
				planned: kept.figure,
				stepPerHa: books.farm.measureStep / doses,
			});
			return [{ product, kept: { ...kept, figure } }];
		}),
	});
}

type Done = { readonly spaceId: string; readonly jobId?: string | undefined; readonly before?: number | undefined };

/** Treatments of the space by other jobs: those on record, and those of open jobs that are not done yet. */
export async function doneThere(db: ReadDb, { spaceId, jobId, before }: Done): Promise<Treatment[]> {
	const others = (await jobsInSpace(db, spaceId)).filter(({ id }) => id !== jobId);
	const treatments: Treatment[] = [];
	for (const job of others) {
		const uses = before === undefined ? await usesOf(db, job, spaceId) : await usesBefore(db, job, { spaceId, before });
		const products = await findProducts<ProductDetails>(
			db,
			uses.map(({ productId }) => productId),
		);
		for (const { productId, ...use } of uses) {
			const product = products.get(productId);
			if (product) treatments.push({ ...applied(product, 0), ...use, application: job.id, overlap: 'yes' });
		}
	}
	return treatments;
}

type Use = Pick<Treatment, 'productId' | 'recordId' | 'date' | 'planned'>;

/**
 * The records of a job that stand, of one of its closed spaces. What was gone on with after a stop is one treatment of the
 * space, over on its last day.
 */
async function recordsThere(db: ReadDb, jobId: string, spaceId: string) {
	const own = (await listRecords(db, { jobId })).filter((row) => recordDetails(row).space?.spaceId === spaceId);
	const last =
		own
			.map(({ sprayDate }) => sprayDate)
			.sort()
			.at(-1) ?? '';
	return own.map((row) => ({ ...row, sprayDate: last }));
}

async function usesOf(db: ReadDb, job: JobStored, spaceId: string): Promise<Use[]> {
	const records = await recordsThere(db, job.id, spaceId);
	if (records.length > 0) {
		return records.map(({ productId, recordId, sprayDate: date }) => ({ productId, recordId, date, planned: false }));
	}
	const isOver = job.closing !== null || finishedLoads(await loadLogs(db, [job.id])).size > 0;
	if (isOver) return [];
	return (await jobProducts(db, [job.id])).map(({ line: { productId } }) => {
		return { productId, recordId: job.id, date: job.sprayDate, planned: true };
	});
}

/** What began before a moment, by the numbers of its entries. */
async function usesBefore(
	db: ReadDb,
	{ id }: JobStored,
	{ spaceId, before }: { readonly spaceId: string; readonly before: number },
): Promise<Use[]> {
	return (await recordsThere(db, id, spaceId))
		.filter(({ startedAt }) => startedAt < before)
		.map(({ productId, seq, sprayDate: date }) => ({ productId, recordId: String(seq), date, planned: false }));
}
