import type { Instant, ProductAmount } from '../../units/quantity.ts';
import { sprayedBy } from './job-ratios.ts';
import type { SeasonBooks, SeasonJob, SeasonLoad } from './season-books.ts';
import type { SeasonEvidence } from './season-evidence.ts';
import { countedProducts, effectOf, NO_DETAIL, rowAt, type Suspect } from './suspect.ts';

/** A load like another one: how far its size may be off that. Assumption. */
const SAME_LOAD_SPREAD = 0.02;
/** Part loads, as shares of the largest load of their job; each stands for those around it. */
const PART_LOADS = [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
const PART_LOAD_SPREAD = 0.05;
/** Chance that the missing load was of a job that is not in the books at all, with one product. Assumption. */
const UNKNOWN_JOB = 0.1;
/** Share of all mix of a season that may have gone unlogged. Assumption. */
const SEVERAL_LOADS_SPREAD = 0.05;
/** Chance beforehand that a load planned and never logged is the missing one, when there is such a load. Assumption. */
const PLANNED_LOAD = 0.6;
/** Chance that two mixed-up products went into the same job. Assumption. */
const SAME_JOB = 0.7;

/** What can go wrong with whole loads: not logged, logged and not sprayed, logged with products exchanged. */
export function loadSuspects(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	return [
		...loadsNotLogged(evidence, books),
		...loadsNotSprayed(evidence, books),
		...severalLoads(evidence, books),
		...mixUps(evidence, books),
	];
}

/** The products of a load: loads with the same ones can rarely be told apart by the store. */
export function recipeOf(load: SeasonLoad): string {
	return load.products
		.map((line) => line.productId)
		.sort()
		.join('+');
}

/** A load that was sprayed and is not in the books: one that was planned, one like another of its job, or a part load. */
function loadsNotLogged(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const jobOf = new Map(books.jobs.map((job) => [job.jobId, job]));
	const planned = books.loads.filter((load) => !load.logged);
	const examples = distinctLoads(books.loads.filter((load) => load.logged));
	const parts = largestOfEachJob(examples);
	const rest = 1 - UNKNOWN_JOB - (planned.length > 0 ? PLANNED_LOAD : 0);
	return [
		...planned.flatMap((load) => missing(evidence, jobOf, load, { part: 1, share: PLANNED_LOAD / planned.length })),
		...examples.flatMap((load) => missing(evidence, jobOf, load, { part: 1, share: (0.6 * rest) / examples.length })),
		...parts.flatMap((load) =>
			PART_LOADS.flatMap((part) =>
				missing(evidence, jobOf, load, { part, share: (0.4 * rest) / parts.length / PART_LOADS.length }),
			),
		),
		...unknownJobs(evidence, books),
	];
}

/** A load as large as part of another one: alone in a job that is not in the books, or one more load of its own job. */
function missing(
	evidence: SeasonEvidence,
	jobOf: ReadonlyMap<string, SeasonJob>,
	load: SeasonLoad,
	{ part, share }: { part: number; share: number },
): Suspect[] {
	const job = jobOf.get(load.jobId);
	const newMixL = part * load.newMixL;
	const amounts = load.products.map(({ productId }) => ({ productId, amount: part * amountOf(load, productId) }));
	const ofJob = job === undefined ? [] : jobEffects(evidence, job, newMixL);
	const withoutJob = ofJob.length === 0 || load.logged ? [[]] : [];
	const here = [...ofJob, ...withoutJob].map((seen) => ({ at: load.at, seen, when: load.date as string | null }));
	const elsewhere = load.logged ? otherTimes(evidence, load).map((at) => ({ at, seen: [], when: null })) : [];
	const ways = [...here, ...elsewhere]
		.map((way) => ({ ...way, effect: effectOf([...amountRows(evidence, amounts, way.at), ...way.seen]) }))
		.filter(({ effect }) => effect.size > 0);
	return ways.map((way) => ({
		cause: 'load not logged',
		who: recipeOf(load),
		share: share / ways.length,
		effect: way.effect,
		likely: 1,
		spread: part === 1 ? SAME_LOAD_SPREAD : PART_LOAD_SPREAD / part,
		onlyAboveZero: true,
		tested: 'never',
		detail: {
			...NO_DETAIL,
			amounts,
			mixL: newMixL > 0 ? newMixL : null,
			jobIds: way.seen.length > 0 || !load.logged ? [load.jobId] : [],
			when: way.when,
			pointsTo: load.logged ? null : `load ${load.load}`,
		},
	}));
}

/** Rows of amounts that left the store at a time; products not between two counts then leave no trace. */
function amountRows(
	evidence: SeasonEvidence,
	amounts: readonly { readonly productId: string; readonly amount: ProductAmount }[],
	at: Instant,
): (readonly [number, number])[] {
	return amounts.flatMap(({ productId, amount }) => {
		const row = rowAt(evidence, productId, at);
		return row === null ? [] : [[row, amount] as const];
	});
}

/** A time in every other stretch between counts: the load may have been another day's. */
function otherTimes(evidence: SeasonEvidence, load: SeasonLoad): Instant[] {
	const ids = new Set(load.products.map((line) => line.productId));
	const counted = countedProducts(evidence).find(({ measure }) => ids.has(measure.product.productId));
	const stretches = counted?.measure.intervals ?? [];
	return stretches
		.filter(({ opening, closing }) => load.at <= opening.at || load.at > closing.at)
		.map(({ closing }) => closing.at);
}

/** A job with one product that is not in the books: as much of it as a load usually takes. */
function unknownJobs(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const counted = countedProducts(evidence);
	return counted.flatMap(({ measure, row }): Suspect[] => {
		const { productId } = measure.product;
		const pours = books.loads
			.filter((load) => load.logged)
			.flatMap((load) => load.products)
			.filter((line) => line.productId === productId)
			.map((line) => line.poured);
		return measure.intervals.map(({ opening, closing }, index) => ({
			cause: 'load not logged',
			who: productId,
			share: UNKNOWN_JOB / counted.length / measure.intervals.length,
			effect: effectOf([[row + index, 1]]),
			likely: mean(pours),
			spread: mean(pours),
			onlyAboveZero: true,
			tested: 'never',
			detail: { ...NO_DETAIL, amounts: [{ productId, amount: 1 }], when: `${opening.date} – ${closing.date}` },
		}));
	});
}

/** A load in the books that never went into the tank, or is there twice. */
function loadsNotSprayed(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const jobOf = new Map(books.jobs.map((job) => [job.jobId, job]));
	const logged = books.loads.filter((load) => load.logged);
	return logged.flatMap((load): Suspect[] => {
		const job = jobOf.get(load.jobId);
		const amounts = load.products.map(({ productId, poured }) => ({ productId, amount: -poured }));
		const products = amountRows(evidence, amounts, load.at);
		const ofJob = job === undefined ? [] : jobEffects(evidence, job, -load.newMixL);
		const ways = (ofJob.length > 0 ? ofJob : [[]])
			.map((seen) => effectOf([...products, ...seen]))
			.filter((effect) => effect.size > 0);
		return ways.map((effect) => ({
			cause: 'load logged, not sprayed',
			who: recipeOf(load),
			share: 1 / logged.length / ways.length,
			effect,
			likely: 1,
			spread: 0,
			onlyAboveZero: true,
			tested: 'never',
			detail: {
				...NO_DETAIL,
				amounts,
				mixL: load.newMixL > 0 ? load.newMixL : null,
				jobIds: [load.jobId],
				when: load.date,
				pointsTo: `load ${load.load}`,
			},
		}));
	});
}

/** The same share of everything left the store and is in no log. */
function severalLoads(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const counted = countedProducts(evidence);
	if (counted.length < 2) return [];
	return [
		{
			cause: 'several loads not logged',
			who: 'every product',
			share: 1,
			effect: effectOf(
				counted.flatMap(({ measure, row }) => measure.intervals.map(({ tank }, index) => [row + index, tank] as const)),
			),
			likely: 0,
			spread: SEVERAL_LOADS_SPREAD,
			onlyAboveZero: true,
			tested: 'by itself',
			detail: {
				...NO_DETAIL,
				amounts: counted.map(({ measure }) => ({
					productId: measure.product.productId,
					amount: measure.intervals.reduce((sum, { tank }) => sum + tank, 0),
				})),
				mixL: books.loads.reduce((sum, load) => (load.logged ? sum + load.newMixL : sum), 0),
				relative: true,
			},
		},
	];
}

/** One product was poured, booked or counted as another: what one has too much, the other has too little. */
function mixUps(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const counted = countedProducts(evidence);
	const used = new Map<string, number[]>();
	for (const line of books.loads.filter((load) => load.logged).flatMap((load) => load.products)) {
		used.set(line.productId, [...(used.get(line.productId) ?? []), line.poured]);
	}
	const together = new Set(books.loads.flatMap((load) => pairsOf(load.products.map((line) => line.productId))));
	const pairs = counted.flatMap((first, index) =>
		counted
			.slice(index + 1)
			.filter((second) => second.measure.product.unit === first.measure.product.unit)
			.map((second) => ({
				first,
				second,
				who: pairOf(first.measure.product.productId, second.measure.product.productId),
			})),
	);
	const near = pairs.filter(({ who }) => together.has(who)).length;
	return pairs.flatMap(({ first, second, who }) => {
		const isNear = together.has(who);
		const share = isNear ? SAME_JOB / near : (near > 0 ? 1 - SAME_JOB : 1) / (pairs.length - near);
		const ids = [first.measure.product.productId, second.measure.product.productId] as const;
		const typical = Math.max(...ids.map((id) => mean(used.get(id) ?? [])), first.measure.product.measureStep);
		return first.measure.intervals.flatMap(({ closing, opening }, index): Suspect[] => {
			const row = rowAt(evidence, ids[1], closing.at);
			if (row === null) return [];
			const common = {
				cause: 'products mixed up',
				who,
				effect: effectOf([
					[first.row + index, 1],
					[row, -1],
				]),
				onlyAboveZero: false,
				tested: 'never',
				detail: {
					...NO_DETAIL,
					amounts: [
						{ productId: ids[0], amount: 1 },
						{ productId: ids[1], amount: -1 },
					],
					when: `${opening.date} – ${closing.date}`,
				},
			} as const;
			const stretch = share / first.measure.intervals.length;
			const exact = exchanges(books, ids);
			return [
				{ ...common, share: exact.length > 0 ? stretch / 2 : stretch, likely: 0, spread: typical },
				...exact.map(({ size, load }) => ({
					...common,
					share: stretch / 2 / exact.length,
					likely: size,
					spread: 0,
					detail: { ...common.detail, when: load.date, pointsTo: `load ${load.load}`, jobIds: [load.jobId] },
				})),
			];
		});
	});
}

/** What an exchange in each different load would have moved: both poured as the other, or one in place of the other. */
function exchanges(books: SeasonBooks, [a, b]: readonly [string, string]): { size: number; load: SeasonLoad }[] {
	const bySize = new Map<string, { size: number; load: SeasonLoad }>();
	for (const load of books.loads.filter((entry) => entry.logged)) {
		const ofA = load.products.find((line) => line.productId === a)?.poured ?? 0;
		const ofB = load.products.find((line) => line.productId === b)?.poured ?? 0;
		const size = ofB - ofA;
		if (size !== 0) bySize.set(size.toFixed(3), { size, load });
	}
	return [...bySize.values()];
}

/**
 * What a load that the books lack (above zero) or have too much (below) does to the reports of its job: too few litres
 * were metered for what was sprayed; and, where the area loaded for is that of the logged loads, too little area.
 */
function jobEffects(evidence: SeasonEvidence, job: SeasonJob, mixL: number): (readonly [number, number])[][] {
	const sprayedL = sprayedBy(job);
	const loadedL = job.areaLoadedForHa * job.sprayVolumeLPerHa;
	if (Math.min(sprayedL, loadedL) <= 0 || mixL < -0.95 * Math.min(sprayedL, loadedL)) return [];
	const own = evidence.readings
		.map(({ jobId, holds }, index) => ({ jobId, holds, row: evidence.readingRow + index }))
		.filter(({ jobId }) => jobId === job.jobId);
	const litres = own.filter(({ holds }) => holds.meter).map(({ row }) => [row, -Math.log1p(mixL / sprayedL)] as const);
	const area = own.filter(({ holds }) => holds.area).map(({ row }) => [row, Math.log1p(mixL / loadedL)] as const);
	return [litres, area.length > 0 ? [...litres, ...area] : []].filter((way) => way.length > 0);
}

/** One of each size of load in each job: the full ones are all alike. */
function distinctLoads(loads: readonly SeasonLoad[]): SeasonLoad[] {
	const bySize = new Map(loads.map((load) => [`${load.jobId} ${load.newMixL.toFixed(0)}`, load]));
	return [...bySize.values()];
}

function largestOfEachJob(loads: readonly SeasonLoad[]): SeasonLoad[] {
	const byJob = new Map<string, SeasonLoad>();
	for (const load of loads) {
		if (load.newMixL > (byJob.get(load.jobId)?.newMixL ?? 0)) byJob.set(load.jobId, load);
	}
	return [...byJob.values()];
}

function amountOf(load: SeasonLoad, productId: string): number {
	const line = load.products.find((entry) => entry.productId === productId);
	return load.logged ? (line?.poured ?? 0) : (line?.planned ?? 0);
}

function pairsOf(ids: readonly string[]): string[] {
	return ids.flatMap((a, index) => ids.slice(index + 1).map((b) => pairOf(a, b)));
}

function pairOf(a: string, b: string): string {
	return a < b ? `${a}+${b}` : `${b}+${a}`;
}

function mean(values: readonly number[]): number {
	return values.length > 0 ? values.reduce((sum, value) => sum + value, 0) / values.length : 0;
}
