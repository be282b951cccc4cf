/**
 * Does the season comparison name the true cause, and accuse nobody when all is sound?
 *
 * Every farm is simulated with one known fault or none (`simulated-farm.ts`). The effect of a fault is the length of what
 * it adds to the figures, in standard errors of measuring (the same farm with the same noise, less the fault).
 *
 * Over all faults together, the true cause is in the reported set in 9 of 10 cases whose effect is above twice the noise.
 * For one fault by itself that depends on how large its effects are: a rule that accuses a sound farm at most once in 20
 * seasons, over all its products, fields and sprayers together (Holm), asks for some 3.2 standard errors, so that it can
 * find an effect of e standard errors in Φ(e − 3.2) of the cases at most, even if it knew where to look. Each fault is
 * therefore held against the mean of that bound over its own cases; and against 9 of 10 above twice the noise as people
 * read it: "measuring alone: ± …" are two standard errors, so twice that are four.
 *
 * Shares are judged with exact binomial bounds: a test fails when so few (or so many) would be seen once in 100 tries if
 * the promise held. More seasons, or other ones, are had with SIMULATED_SEASONS=300 and FIRST_SEED=5000.
 */
import { expect, test } from 'vitest';
import { reconcileSeason } from '../../../../../shared/core/reconcile/reconcile-season.ts';
import type { Cause, SeasonReconciliation } from '../../../../../shared/core/reconcile/reconciliation.ts';
import { type SeasonEvidence, seasonEvidence } from '../../../../../shared/core/reconcile/season-evidence.ts';
import { normalBelow, twoSidedChance } from '../../../../../shared/core/reconcile/statistics.ts';
import { chanceOfSoMany } from '../../../binomial.ts';
import { type FarmOptions, type Fault, faults, simulatedFarm, type TruthAboutFault } from './simulated-farm.ts';

const RUNS = Number(process.env['SIMULATED_SEASONS'] ?? 60);
const FIRST_SEED = Number(process.env['FIRST_SEED'] ?? 1);
const SOUND_RUNS = 3 * RUNS;
/** A promise is taken as broken when what was seen has less than this chance under it. */
const DOUBT = 0.01;
const ABOVE_NOISE = 2;
/** Chance of a wrong accusation over all suspects of a farm together. */
const ACCUSED = 0.05;
/** How much of what the bound allows is lost to a cause that is taken for another. */
const LOST = 0.05;
/** Twice what the program shows as the range of measuring alone, ± 2 standard errors. */
const ABOVE_RANGE = 4;
const MINUTES = 60_000;

type Outcome = {
	readonly effect: number;
	/** Chance of finding it for a rule that knew where to look. */
	readonly bound: number;
	readonly found: boolean;
	readonly answer: SeasonReconciliation;
	readonly truth: TruthAboutFault;
};

/** The causes that two counts and the reports of a job cannot tell from each fault, whatever the method. */
const ALIKE: { readonly [F in Exclude<Fault, 'none'>]: readonly Cause[] } = {
	// One sprayer: an area error of all fields is its counter's. One visit: a misread counter.
	'register area': ['register area', 'area counter', 'one report'],
	// Litres in against litres out: either may be wrong.
	'inlet meter': ['inlet meter', 'controller litres'],
	// A load with one product, or with one that stands out of its noise, is an amount that left the store.
	'load not logged': [
		'load not logged',
		'loss not booked',
		'wrong count',
		'delivery booked, not received',
		'measuring',
		'one report',
	],
	// One figure for one product. Whole containers by chance: a delivery, a load.
	measuring: ['measuring', 'wrong count', 'delivery not booked', 'products mixed up', 'load logged, not sprayed'],
	// As long as the second product's own noise hides its half, it is an amount of the first.
	'products mixed up': [
		'products mixed up',
		'measuring',
		'wrong count',
		'loss not booked',
		'delivery not booked',
		'delivery booked, not received',
	],
	'delivery not booked': ['delivery not booked', 'wrong count'],
	// Of whole containers: a delivery, or one taken out unseen. Of parts: measuring, a loss, a small load.
	'wrong count': [
		'wrong count',
		'delivery not booked',
		'delivery booked, not received',
		'loss not booked',
		'measuring',
		'load not logged',
		'load logged, not sprayed',
		'products mixed up',
	],
};

/** How many causes a set may hold on average; no fault leaves more than this open. */
const MEAN_SET: { readonly [F in Exclude<Fault, 'none'>]: number } = {
	'register area': 1.6,
	'inlet meter': 2.2,
	'load not logged': 1.4,
	measuring: 2.8,
	'products mixed up': 1.6,
	'delivery not booked': 2,
	'wrong count': 3.1,
};

const done = new Map<string, Outcome[]>();

function outcomes(fault: Exclude<Fault, 'none'>, options: Partial<FarmOptions> = {}): Outcome[] {
	const name = JSON.stringify([fault, options]);
	const known = done.get(name);
	if (known !== undefined) return known;
	const all = Array.from({ length: RUNS }, (_, index): Outcome => {
		const seed = FIRST_SEED + index;
		const { books, truth } = simulatedFarm({ ...options, seed, fault });
		const answer = reconciled(books);
		const found = answer.findings.some((finding) => finding.causes.some((cause) => isTrue(cause, fault, truth)));
		const effect = effectOfFault(seasonEvidence(books), soundEvidence(seed, options), truth);
		const suspects = answer.products.length + new Set(books.jobs.flatMap(({ fields }) => fields)).size;
		return { effect, bound: normalBelow(effect - limitOver(suspects)), found, answer, truth };
	});
	done.set(name, all);
	return all;
}

function reconciled(books: Parameters<typeof reconcileSeason>[0]): SeasonReconciliation {
	const result = reconcileSeason(books);
	if (!result.ok) throw new Error(result.problem.code);
	return result.value;
}

const sound = new Map<string, SeasonEvidence>();

/** The figures of the same farm without a fault; all faults share it. */
function soundEvidence(seed: number, options: Partial<FarmOptions>): SeasonEvidence {
	const name = JSON.stringify([seed, options]);
	const known = sound.get(name) ?? seasonEvidence(simulatedFarm({ ...options, seed, fault: 'none' }).books);
	sound.set(name, known);
	return known;
}

/** Standard errors that one figure of so many must be off by before the first is called wrong (Holm, normal). */
function limitOver(figures: number): number {
	let [low, high] = [0, 10];
	while (high - low > 1e-6) {
		const middle = (low + high) / 2;
		if (twoSidedChance(middle) > ACCUSED / figures) low = middle;
		else high = middle;
	}
	return high;
}

/** Length of the difference between the figures with and without the fault: of the jobs for machines, of the store else. */
function effectOfFault(a: SeasonEvidence, b: SeasonEvidence, truth: TruthAboutFault): number {
	const ofJobs = truth.fieldIds.length + truth.sprayerIds.length > 0;
	const rows = ofJobs ? [a.readingRow, a.white.length] : [0, a.readingRow];
	return Math.hypot(...a.white.map((value, row) => value - (b.white[row] ?? 0)).slice(...rows));
}

type Reported = SeasonReconciliation['findings'][number]['causes'][number];

/** The right cause, at the right products, fields or sprayer. */
function isTrue(reported: Reported, fault: Exclude<Fault, 'none'>, truth: TruthAboutFault): boolean {
	if (reported.cause !== fault) return false;
	if (truth.sprayerIds.length > 0) return truth.sprayerIds.every((id) => reported.sprayerIds.includes(id));
	if (truth.fieldIds.length > 0) return same(reported.fieldIds, truth.fieldIds);
	return same(
		reported.amounts.map(({ productId }) => productId),
		truth.productIds,
	);
}

function same(a: readonly string[], b: readonly string[]): boolean {
	return [...a].sort().join() === [...b].sort().join();
}

function above(all: readonly Outcome[], effect: number): Outcome[] {
	const seen = all.filter((outcome) => outcome.effect > effect);
	expect(seen.length).toBeGreaterThan(RUNS / 3);
	return seen;
}

/** At least `share` of these were found, as far as so few can tell. */
function expectFound(seen: readonly Outcome[], share: number): void {
	const missed = seen.filter(({ found }) => !found).length;
	expect(chanceOfSoMany(missed, seen.length, 1 - share), `${missed} of ${seen.length} missed`).toBeGreaterThan(DOUBT);
}

/** At most 1 season in 20 of a sound farm accuses somebody, as far as so few can tell. */
function expectSound(runs: number, options: Partial<FarmOptions> = {}): void {
	let accused = 0;
	for (let seed = FIRST_SEED; seed < FIRST_SEED + runs; seed++) {
		const { books } = simulatedFarm({ ...options, seed, fault: 'none' });
		if (reconciled(books).findings.length > 0) accused++;
	}
	expect(chanceOfSoMany(accused, runs, ACCUSED), `${accused} of ${runs} accused`).toBeGreaterThan(DOUBT);
}

const realFaults = faults.filter((fault) => fault !== 'none');

test('a sound farm is accused of nothing in 19 of 20 seasons', { timeout: 5 * MINUTES }, () => {
	expectSound(SOUND_RUNS);
});

test.each([
	['a count in between', { countsBetween: 1 }],
	['no counter', { reports: { counter: false, controller: true } }],
	['no controller', { reports: { counter: true, controller: false } }],
	['neither', { reports: { counter: false, controller: false } }],
])('nor with %s', { timeout: 5 * MINUTES }, (_, options) => {
	expectSound(RUNS, options);
});

test('over all faults, the true cause is in the set 9 times of 10 above twice the noise', {
	timeout: 10 * MINUTES,
}, () => {
	const all = realFaults.flatMap((fault) => outcomes(fault));
	expectFound(above(all, ABOVE_NOISE), 0.9);
});

test.each(realFaults)(
	'%s: above twice the noise, found nearly as often as any rule could',
	{
		timeout: 5 * MINUTES,
	},
	(fault) => {
		const seen = above(outcomes(fault), ABOVE_NOISE);
		expectFound(seen, Math.min(0.9, seen.reduce((sum, { bound }) => sum + bound, 0) / seen.length - LOST));
	},
);

test.each(realFaults)(
	'%s: found 9 times of 10 above twice the range shown for measuring',
	{ timeout: 5 * MINUTES },
	(fault) => {
		expectFound(above(outcomes(fault), ABOVE_RANGE), 0.9);
	},
);

test.each(realFaults)('%s: the set holds no more causes than look alike', { timeout: 5 * MINUTES }, (fault) => {
	const sets = outcomes(fault)
		.flatMap(({ answer }) => answer.findings.slice(0, 1))
		.map((finding) => finding.causes.map(({ cause }) => cause));
	const beyond = sets.filter((causes) => !causes.every((cause) => ALIKE[fault].includes(cause)));
	expect(chanceOfSoMany(beyond.length, sets.length, 0.1)).toBeGreaterThan(DOUBT);
	expect(sets.reduce((sum, causes) => sum + causes.length, 0) / sets.length).toBeLessThanOrEqual(MEAN_SET[fault]);
});

test('no cause stands in a set that the store figures refute', { timeout: 10 * MINUTES }, () => {
	const stored = realFaults.filter((fault) => fault !== 'register area' && fault !== 'inlet meter');
	for (const { answer } of stored.flatMap((fault) => outcomes(fault))) {
		if (answer.findings.length !== 1) continue;
		const misfits = (answer.findings[0]?.causes ?? [])
			.filter((cause) => cause.jobIds.length === 0)
			.map((cause) =>
				answer.products.reduce((sum, { productId, residual, residualSigma }) => {
					const explained = cause.amounts.find((entry) => entry.productId === productId)?.amount ?? 0;
					return sum + (((residual ?? 0) - explained) / (residualSigma ?? 1)) ** 2;
				}, 0),
			);
		// A share of a twentieth, and the weight of an exact size against a free one.
		expect(Math.max(...misfits, 0) - Math.min(...misfits)).toBeLessThan(25);
	}
});

test('a count in between narrows what a wrong count and a wrong jug can be', { timeout: 10 * MINUTES }, () => {
	const meanSet = (all: readonly Outcome[]) => {
		const sets = all.filter(({ found }) => found).map(({ answer }) => answer.findings[0]?.causes.length ?? 0);
		return sets.reduce((sum, size) => sum + size, 0) / sets.length;
	};
	for (const fault of ['wrong count', 'measuring'] as const) {
		const narrowed = outcomes(fault, { countsBetween: 1 });
		expect(meanSet(narrowed)).toBeLessThan(meanSet(outcomes(fault)) - 0.5);
		expectFound(above(narrowed, ABOVE_RANGE), 0.9);
	}
});

test('without reports to tell them apart, the meter is in the set and nobody is accused', {
	timeout: 5 * MINUTES,
}, () => {
	const blind = outcomes('inlet meter', { reports: { counter: false, controller: false } });
	const found = blind.filter((outcome) => outcome.found);
	const naming = found.flatMap(({ answer, truth }) =>
		answer.findings.filter((finding) => finding.causes.some((cause) => isTrue(cause, 'inlet meter', truth))),
	);
	expect(naming.length).toBeGreaterThan(RUNS / 3);
	expect(naming.filter((finding) => finding.accuses)).toEqual([]);
	expect(naming.every((finding) => finding.causes.length > 1)).toBe(true);
});
