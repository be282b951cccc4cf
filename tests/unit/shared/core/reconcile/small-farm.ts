import type {
	SeasonBooks,
	SeasonJob,
	SeasonLoad,
	SeasonProduct,
} from '../../../../../shared/core/reconcile/season-books.ts';

/**
 * Four invented products in two recipes, ten jobs of two loads each, books that agree to the drop. Day 0 and day 100 are
 * counts; job n is done on day 5 + 9n.
 */
export function smallFarm(): SeasonBooks {
	const loads = Array.from({ length: 10 }, (_, job) => [1, 2].map((load) => smallLoad(job, load))).flat();
	return {
		from: '2027-01-01',
		to: '2027-12-31',
		products: ['A', 'B', 'C', 'D'].map((id) => smallProduct(id, loads)),
		loads,
		jobs: Array.from({ length: 10 }, (_, job) => smallJob(job)),
	};
}

const DOSES: Record<string, number> = { A: 1.3, B: 0.23, C: 0.61, D: 2.07 };
const recipes = [
	['A', 'B'],
	['C', 'D'],
] as const;

function smallLoad(job: number, load: number): SeasonLoad {
	const areaHa = load === 1 ? 20 : 10;
	return {
		loadId: `job ${job} load ${load}`,
		jobId: `job ${job}`,
		load,
		at: 5 + 9 * job + load / 10,
		date: dateOf(5 + 9 * job),
		newMixL: 200 * areaHa,
		logged: true,
		products: recipes[job % 2 === 0 ? 0 : 1].map((productId) => {
			const amount = (DOSES[productId] ?? 0) * areaHa;
			const wholePacks = Math.floor(amount / 5);
			return {
				productId,
				planned: amount,
				poured: amount,
				measured: amount - 5 * wholePacks,
				wholePacks,
				confirmed: true,
			};
		}),
	};
}

function smallProduct(productId: string, loads: readonly SeasonLoad[]): SeasonProduct {
	const used = loads
		.flatMap((load) => load.products)
		.filter((line) => line.productId === productId)
		.reduce((sum, line) => sum + line.poured, 0);
	const delivered = 5 * Math.ceil(used / 5);
	return {
		productId,
		name: `Product ${productId}`,
		unit: productId === 'D' ? 'kg' : 'L',
		packSizes: [5],
		measureStep: 0.01,
		ground: used,
		counts: [
			{ at: 0, date: dateOf(0), amount: 10, openedContainers: 0 },
			{ at: 100, date: dateOf(100), amount: 10 + delivered - used, openedContainers: 1 },
		],
		bookings: [
			{ at: 1, date: dateOf(1), kind: 'delivery', amount: delivered, packSize: 5, document: `note ${productId}` },
		],
	};
}

function smallJob(job: number): SeasonJob {
	return {
		jobId: `job ${job}`,
		name: `Job ${job}`,
		date: dateOf(5 + 9 * job),
		sprayerId: 'sprayer 1',
		sprayer: 'Sprayer 1',
		sprayVolumeLPerHa: 200,
		areaLoadedForHa: 30,
		fields: [
			{ fieldId: `field ${job % 5}`, name: `Field ${job % 5}`, areaHa: 20, areaSigmaHa: null },
			{ fieldId: `field ${(job + 2) % 5}`, name: `Field ${(job + 2) % 5}`, areaHa: 10, areaSigmaHa: null },
		],
		counterHa: 30,
		controllerL: 6000,
		leftL: 0,
		ranOutHa: 0,
		carriedInL: 0,
		mixedL: 6000,
		rinseL: 0,
		unsprayableL: 0,
		spilledL: 0,
	};
}

function dateOf(day: number): string {
	return new Date(Date.UTC(2027, 0, 1 + day)).toISOString().slice(0, 10);
}

/** The same books with some products changed. */
export function withProduct(
	books: SeasonBooks,
	productId: string,
	change: (product: SeasonProduct) => Partial<SeasonProduct>,
): SeasonBooks {
	return {
		...books,
		products: books.products.map((product) =>
			product.productId === productId ? { ...product, ...change(product) } : product,
		),
	};
}

/** The same books with every job changed. */
export function withJobs(
	books: SeasonBooks,
	change: (job: SeasonJob, index: number) => Partial<SeasonJob>,
): SeasonBooks {
	return { ...books, jobs: books.jobs.map((job, index) => ({ ...job, ...change(job, index) })) };
}
