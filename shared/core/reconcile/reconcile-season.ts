import { ok, type Result, refuse } from '../../basics/result.ts';
import { causeWords, findingEvidence, storeAgainstTank } from './cause-words.ts';
import { jobBalance } from './job-ratios.ts';
import type { FarmBalance, Finding, ProductBalance, SeasonReconciliation, SuspectedCause } from './reconciliation.ts';
import { type ProductMeasures, residualCovariance } from './season-balance.ts';
import type { Noise, SeasonBooks } from './season-books.ts';
import { jobFills, type SeasonEvidence, seasonEvidence } from './season-evidence.ts';
import { amountText } from './season-words.ts';
import { robustMean } from './statistics.ts';
import { loadSuspects } from './suspects-loads.ts';
import { machineSuspects } from './suspects-machines.ts';
import { storeSuspects } from './suspects-store.ts';
import { type WeighedSuspect, weighSuspects } from './weigh-suspects.ts';

const AREA_CAUSES: readonly string[] = ['register area', 'area counter'];
const MACHINE_CAUSES: readonly string[] = [...AREA_CAUSES, 'inlet meter', 'controller litres', 'rate'];

/**
 * Do ground, tank and store agree, and if not, why?
 *
 *   ground G = Σ dose × treated area;  tank T = Σ poured in logged loads;  store S = opening count + bookings − closing
 *   count;  ln(S ÷ T) = what all products share + what each has of its own, each with its standard error
 *
 * Takes the books of a season (amounts in L or kg, areas in ha, mix in L); gives every product and job with its ratios,
 * and findings: sets of causes that the figures cannot take apart. Nothing is found on a sound farm in 19 of 20 seasons,
 * all products, fields and sprayers together. Refuses `period.reversed`.
 */
export function reconcileSeason(books: SeasonBooks): Result<SeasonReconciliation> {
	if (books.from > books.to) return refuse('period.reversed', { from: books.from, to: books.to });
	const evidence = seasonEvidence(books);
	const suspects = [...storeSuspects(evidence), ...loadSuspects(evidence, books), ...machineSuspects(evidence, books)];
	const findings = weighSuspects(evidence, suspects).map((set) => finding(set, books, evidence));
	const products = productBalances(evidence);
	const jobs = books.jobs.map((job) => jobBalance(job, jobFills(job, books, evidence.noise), evidence.noise));
	return ok({ say: headline(findings, evidence), farm: farmBalance(products), products, jobs, findings });
}

/** The three measures of each product, with what all products share taken out of store ÷ tank. */
function productBalances({ measures, noise }: SeasonEvidence): ProductBalance[] {
	const plain = measures.map((measure) => productBalance(measure, noise));
	const common = robustMean(plain.flatMap((product) => logRatio(product.storeToTank, product.sigma)))?.mean ?? 0;
	return plain.map((product) => ({
		...product,
		ownStoreToTank: product.storeToTank === null ? null : product.storeToTank / Math.exp(common),
	}));
}

function productBalance(measure: ProductMeasures, noise: Noise): ProductBalance {
	const { product, intervals, tank, tankSigma, groundSigma, countVariances } = measure;
	const counted = intervals.length > 0;
	const store = intervals.reduce((sum, interval) => sum + interval.store, 0);
	const between = intervals.reduce((sum, interval) => sum + interval.tank, 0);
	const variance = residualCovariance(measure, noise).reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0);
	const residual = store - between;
	const sigma = Math.sqrt(variance);
	return {
		productId: product.productId,
		name: product.name,
		unit: product.unit,
		ground: product.ground,
		tank,
		store: counted ? store : null,
		tankBetweenCounts: counted ? between : null,
		counted,
		groundSigma,
		tankSigma,
		storeSigma: counted ? Math.hypot(Math.sqrt(countVariances[0] ?? 0), Math.sqrt(countVariances.at(-1) ?? 0)) : null,
		tankToGround: product.ground > 0 ? tank / product.ground : null,
		storeToTank: counted && between > 0 ? store / between : null,
		sigma: counted && between > 0 ? sigma / between : null,
		ownStoreToTank: null,
		residual: counted ? residual : null,
		residualSigma: counted ? sigma : null,
		measuredPours: measure.measuredPours,
		confirmedLoads: measure.confirmedLoads,
		loads: measure.loads,
		say: productSentence(measure, residual, sigma),
	};
}

function productSentence(
	{ product, intervals, loads, confirmedLoads }: ProductMeasures,
	residual: number,
	sigma: number,
): string {
	const plan =
		loads > 0 && confirmedLoads === 0 ? ' All amounts were taken over from the plan: they prove nothing.' : '';
	if (intervals.length === 0) return `Not counted twice, so the store says nothing yet.${plan}`;
	const range = `measuring alone: ± ${amountText(2 * sigma, product.unit)}`;
	if (Math.abs(residual) <= 2 * sigma) return `Store and tank agree within measuring (${range}).${plan}`;
	return `${storeAgainstTank(product, residual).slice(0, -1)} (${range}).${plan}`;
}

/** The whole farm: store ÷ tank and tank ÷ ground over all products. */
function farmBalance(products: readonly ProductBalance[]): FarmBalance {
	const storeToTank = robustMean(products.flatMap((product) => logRatio(product.storeToTank, product.sigma)));
	const tankToGround = robustMean(
		products.flatMap(({ tankToGround: ratio, tank, ground, tankSigma, groundSigma }) =>
			logRatio(ratio, ratio === null || tank <= 0 ? null : Math.hypot(tankSigma / tank, groundSigma / ground)),
		),
	);
	return {
		storeToTank: storeToTank === null ? null : Math.exp(storeToTank.mean),
		storeToTankSigma: storeToTank?.sigma ?? null,
		tankToGround: tankToGround === null ? null : Math.exp(tankToGround.mean),
		tankToGroundSigma: tankToGround?.sigma ?? null,
		productsCounted: products.filter((product) => product.counted).length,
		confirmedLoads: products.reduce((sum, product) => sum + product.confirmedLoads, 0),
		loads: products.reduce((sum, product) => sum + product.loads, 0),
	};
}

function logRatio(ratio: number | null, sigma: number | null): { value: number; sigma: number }[] {
	return ratio !== null && ratio > 0 && sigma !== null && sigma > 0 ? [{ value: Math.log(ratio), sigma }] : [];
}

/** One set of causes, the most likely first, in words. */
function finding(set: readonly WeighedSuspect[], books: SeasonBooks, evidence: SeasonEvidence): Finding {
	const causes = set.map((weighed) => suspectedCause(weighed, books, evidence));
	const first = causes[0];
	const best = set[0];
	const accuses = !set.some((weighed) => cannotBeToldApart(weighed, evidence));
	const missing = accuses ? '' : ' Only the product of area, meter and rate is known, so none of them is accused.';
	return {
		causes,
		accuses,
		size: first?.size ?? 0,
		unit: first?.unit ?? 'L',
		productIds: [...new Set(causes.flatMap((cause) => cause.amounts.map(({ productId }) => productId)))],
		aboveNoise: best?.sigmas ?? 0,
		evidence: `${best === undefined ? '' : findingEvidence(best, books)}${missing}`,
		checkNext: accuses
			? (first?.checkNext ?? '')
			: 'Report sprayed area, controller litres and mix left at the end of each job; then they can be told apart.',
	};
}

function suspectedCause(weighed: WeighedSuspect, books: SeasonBooks, evidence: SeasonEvidence): SuspectedCause {
	const { suspect, size, share } = weighed;
	const { detail } = suspect;
	const amounts = detail.amounts.flatMap(({ productId, amount }) => {
		const product = books.products.find((entry) => entry.productId === productId);
		return product === undefined ? [] : [{ productId, amount: amount * size, unit: product.unit }];
	});
	const asMix = detail.mixL !== null && amounts.length !== 1;
	const first = amounts[0];
	return {
		cause: suspect.cause,
		share,
		size: Math.abs(asMix ? (detail.mixL ?? 0) * size : (first?.amount ?? 0)),
		unit: asMix ? 'L' : (first?.unit ?? 'L'),
		percent: detail.relative ? 100 * size : percentOfTank(amounts, evidence),
		amounts,
		jobIds: [...detail.jobIds],
		fieldIds: [...detail.fieldIds],
		sprayerIds: [...detail.sprayerIds],
		...causeWords(weighed, books),
	};
}

/** An amount of one product as a share of what was poured between its counts. */
function percentOfTank(
	amounts: readonly { productId: string; amount: number }[],
	{ measures }: SeasonEvidence,
): number | null {
	const [only] = amounts;
	if (only === undefined || amounts.length > 1) return null;
	const measure = measures.find(({ product }) => product.productId === only.productId);
	const tank = measure?.intervals.reduce((sum, interval) => sum + interval.tank, 0) ?? 0;
	return tank > 0 ? (100 * only.amount) / tank : null;
}

/** Does all that speaks for it lie in figures that hold area, meter and rate together? */
function cannotBeToldApart({ suspect }: WeighedSuspect, { readings, readingRow }: SeasonEvidence): boolean {
	if (!MACHINE_CAUSES.includes(suspect.cause)) return false;
	const seen = [...suspect.effect.keys()].flatMap((row) => readings[row - readingRow] ?? []);
	return (
		seen.length > 0 && seen.every(({ holds }) => Number(holds.area) + Number(holds.meter) + Number(holds.rate) > 1)
	);
}

function headline(findings: readonly Finding[], { productRow, readings }: SeasonEvidence): string {
	if (productRow.size === 0 && readings.length === 0) {
		return 'Nothing was counted twice and no job was reported back, so there is nothing to compare yet.';
	}
	if (findings.length === 0 && productRow.size === 0)
		return 'Ground and tank agree within measuring. The store says nothing yet: no product was counted twice.';
	if (findings.length === 0) return 'The books agree within measuring.';
	return findings.length === 1
		? 'One difference is larger than measuring explains.'
		: `${findings.length} differences are larger than measuring explains.`;
}
