import { type JobStored, jobsById } from '../../db/modules/jobs.ts';
import { listProducts } from '../../db/modules/products.ts';
import type { RecordStored } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { listSpaces } from '../../db/modules/spaces.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { appliesToCrop } from '../../shared/core/limits/check-limits.ts';
import type { Ground } from '../../shared/core/limits/limit.ts';
import { type UsedSoFar, usedSoFar } from '../../shared/core/limits/sum-limits.ts';
import { applied } from './applied-product.ts';
import type { ProductDetails } from './products.ts';
import { recordDetails } from './records.ts';
import { checkAppliedInSpace, doneThere, type FoundInSpace } from './space-limits.ts';
import { spaceOf } from './spaces.ts';

type Books = { readonly db: ReadDb; readonly farm: FarmRow };
type Line = Pick<
	RecordStored,
	'seq' | 'jobId' | 'sprayDate' | 'fieldName' | 'productId' | 'amount' | 'startedAt' | 'writtenAt' | 'details'
>;

/** One treatment of a closed space that is looked back at, with its entry by product. */
export type SpaceReviewed<Of extends Line> = {
	readonly first: Of;
	readonly lines: readonly Of[];
	readonly findings: readonly FoundInSpace[];
};

/** The treatments of closed spaces among some records, each held against the limits with what was done there before it. */
export async function reviewOfSpaces<Of extends Line>(
	books: Books,
	records: readonly Of[],
): Promise<SpaceReviewed<Of>[]> {
	const byJob = Map.groupBy(
		records.filter((line) => recordDetails(line).space !== null),
		({ jobId }) => jobId,
	);
	const jobs = await jobsById(books.db, byJob.keys());
	const reviewed: SpaceReviewed<Of>[] = [];
	for (const [jobId, ofJob] of byJob) {
		const job = jobs.get(jobId);
		const bySpace = Map.groupBy(ofJob, (line) => recordDetails(line).space?.spaceId ?? '');
		for (const [spaceId, lines] of bySpace) {
			const [first] = lines;
			if (first && job) reviewed.push({ first, lines, findings: await lookedBackAt(books, { job, spaceId, lines }) });
		}
	}
	return reviewed;
}

/** One treatment of one closed space: its products share it, what was done after a stop adds up. */
function lookedBackAt(
	books: Books,
	{ job, spaceId, lines }: { readonly job: JobStored; readonly spaceId: string; readonly lines: readonly Line[] },
): Promise<FoundInSpace[]> {
	const byProduct = Map.groupBy(lines, ({ productId }) => productId);
	const sumOf = (own: readonly Line[], of: (line: Line) => number) => own.reduce((sum, line) => sum + of(line), 0);
	const treated = [...byProduct.values()].map((own) => sumOf(own, (line) => recordDetails(line).space?.amount ?? 0));
	const startedAt = Math.min(...lines.map((line) => line.startedAt));
	return checkAppliedInSpace(books, {
		job,
		spaceId,
		startedAt,
		before: startedAt,
		quantity: Math.max(...treated),
		poured: [...byProduct].map(([productId, own]) => ({ productId, amount: sumOf(own, ({ amount }) => amount) })),
	});
}

export type UsedInSpace = {
	readonly space: string;
	readonly code: string | null;
	readonly product: string;
	readonly source: string;
	readonly used: UsedSoFar;
};

/** How far the limits on the number of treatments are used in each closed space: of those that add up, these count under a roof. */
export async function usedInSpaces(
	db: ReadDb,
	{ date, at, season }: { readonly date: string; readonly at: number; readonly season: Ground['season'] },
): Promise<UsedInSpace[]> {
	const products = await listProducts<ProductDetails>(db);
	const found: UsedInSpace[] = [];
	for (const row of await listSpaces(db)) {
		const { id, name, code } = spaceOf(row);
		const history = await doneThere(db, { spaceId: id, before: at });
		if (history.length === 0) continue;
		for (const product of products) {
			const planned = { ...applied(product, 0), limits: product.limits };
			const application = {
				ground: {
					...{ fieldId: id, crop: [], cropFrom: null, cropTo: null, season },
					...{ growthStage: null, harvestOn: null, bufferM: null },
				},
				...{ date, sprayVolumeLPerHa: null, products: [planned], history, rules: [] },
			};
			for (const limit of product.limits) {
				if (limit.kind !== 'treatments' || !appliesToCrop(limit, application)) continue;
				const used = usedSoFar({ limit, application, product: planned });
				if (used && used.used > 0)
					found.push({ space: name, code: code ?? null, product: product.name, source: limit.source, used });
			}
		}
	}
	return found;
}
