import { type SeasonEvidence, whiteEffect } from './season-evidence.ts';
import { holm, normalBelow, twoSidedChance } from './statistics.ts';
import type { Suspect } from './suspect.ts';
import { dot } from './whitening.ts';

/** Chance of a single wrong accusation on a sound farm, all products, fields and sprayers together. */
const ACCUSE_LEVEL = 0.05;
/** The part of it kept for single reports that stick out grossly; there are many, and a real slip is large. */
const GROSS_PART = 0.1;
/** Two suspects that move the figures this much alike (cosine) are asked once whether anything is wrong. */
const SAME_DIRECTION = 0.95;
/** The set of causes holds this much of the weight of the evidence … */
const SET_WEIGHT = 0.95;
/** … and none that is less than this share of the best. */
const LEAST_SHARE = 1 / 20;
/** An alternative must explain the same figures as the best: cosine at least this. */
const SAME_FIGURES = 0.5;
/** Suspects that move the figures exactly alike (cosine, less rounding). */
const TWINS = 0.9999;
/** One season rarely hides more at once. */
const MOST_FINDINGS = 6;

/** A suspect with what the figures say about it. */
export type WeighedSuspect = {
	readonly suspect: Suspect;
	readonly size: number;
	/** Size in standard errors. */
	readonly sigmas: number;
	/** Share of the weight of the evidence in its finding. */
	readonly share: number;
};

type Candidate = { readonly suspect: Suspect; readonly white: Float64Array };

/**
 * Whether anything is wrong, and which suspects explain it, in sets that the figures cannot take apart.
 *
 *   z of a direction t = t·y ÷ |t| on whitened figures y; something is wrong when Holm's rule rejects one at 5 %
 *   2 ln(weight of a suspect) = (B²τ² + 2Bμ − Aμ²) ÷ (1 + Aτ²) − ln(1 + Aτ²), A = t·t, B = t·y, sizes μ ± τ
 *
 * The second line is the fit (fall of χ²) less a penalty for a size that is free. The set of a finding is the fewest
 * suspects that hold 95 % of the weight. What the best one explains is taken out, and the rest is asked again.
 * Source: Kass & Raftery, Bayes factors, J. Am. Stat. Assoc. 90 (1995) 773–795; Holm 1979.
 */
export function weighSuspects(evidence: SeasonEvidence, suspects: readonly Suspect[]): WeighedSuspect[][] {
	const findings: WeighedSuspect[][] = [];
	let figures = evidence.white;
	let candidates = suspects.map((suspect) => ({ suspect, white: whiteEffect(evidence, suspect.effect) }));
	while (findings.length < MOST_FINDINGS && somethingIsWrong(figures, candidates)) {
		const { set, best } = explain(figures, candidates);
		if (best === null) break;
		findings.push(set);
		figures = without(subtract(figures, best.candidate.white, best.size), best.candidate.white);
		candidates = candidates
			.map(({ suspect, white }) => ({ suspect, white: without(white, best.candidate.white) }))
			.filter(({ white }, index) => dot(white, white) > 0.1 * squareOf(candidates[index]?.white));
	}
	return findings;
}

/** Is any direction a suspect points in more than chance, all of them taken together? */
function somethingIsWrong(figures: Float64Array, candidates: readonly Candidate[]): boolean {
	const stands = (tested: Suspect['tested'], level: number) => {
		const directions = distinctDirections(candidates.filter(({ suspect }) => suspect.tested === tested));
		const chances = directions.map((direction) => twoSidedChance(dot(direction, figures)));
		return holm(chances, level).includes(true);
	};
	return stands('by itself', (1 - GROSS_PART) * ACCUSE_LEVEL) || stands('when gross', GROSS_PART * ACCUSE_LEVEL);
}

function distinctDirections(candidates: readonly Candidate[]): Float64Array[] {
	const directions: Float64Array[] = [];
	for (const { white } of candidates) {
		const length = Math.sqrt(dot(white, white));
		if (length === 0) continue;
		const unit = white.map((value) => value / length);
		if (directions.every((known) => Math.abs(dot(known, unit)) < SAME_DIRECTION)) directions.push(unit);
	}
	return directions;
}

type Weighed = { candidate: Candidate; logWeight: number; size: number; sigmas: number };

/** The set of suspects that explain the figures, heaviest first, and the one way that explains them best. */
function explain(
	figures: Float64Array,
	candidates: readonly Candidate[],
): { set: WeighedSuspect[]; best: Weighed | null } {
	const weighed = candidates.map((candidate) => weigh(figures, candidate));
	const best = heaviest(weighed);
	if (best === null) return { set: [], best };
	const rivals = weighed.filter(({ candidate }) => alike(candidate.white, best.candidate.white) >= SAME_FIGURES);
	const groups = new Map<string, Weighed[]>();
	for (const rival of rivals) {
		const name = `${rival.candidate.suspect.cause}: ${rival.candidate.suspect.who}`;
		groups.set(name, [...(groups.get(name) ?? []), rival]);
	}
	const ranked = [...groups.values()]
		.map((ways) => ({
			way: heaviest(ways) ?? best,
			weight: ways.reduce((sum, { logWeight }) => sum + Math.exp(logWeight - best.logWeight), 0),
		}))
		.sort((a, b) => b.weight - a.weight);
	const total = ranked.reduce((sum, { weight }) => sum + weight, 0);
	const set: WeighedSuspect[] = [];
	let held = 0;
	for (const { way, weight } of ranked) {
		const enough = held >= SET_WEIGHT * total || weight < LEAST_SHARE * (ranked[0]?.weight ?? 0);
		if (enough && !twins(way, ranked[0]?.way ?? best)) continue;
		held += weight;
		set.push({ suspect: way.candidate.suspect, size: way.size, sigmas: way.sigmas, share: weight / total });
	}
	return { set, best: heaviest(groups.get(nameOf(set[0])) ?? rivals) };
}

/** No figure could ever tell these two apart, only what is likely beforehand; that must not clear one of them. */
function twins(a: Weighed, b: Weighed): boolean {
	const [one, other] = [a.candidate, b.candidate];
	const sameSizes = one.suspect.spread === other.suspect.spread && one.suspect.likely === other.suspect.likely;
	return sameSizes && one.suspect.spread > 0 && alike(one.white, other.white) >= TWINS;
}

/** The weight of the evidence for one way, its size after the figures, and that size in standard errors. */
function weigh(figures: Float64Array, candidate: Candidate): Weighed {
	const { likely, spread, onlyAboveZero, share } = candidate.suspect;
	const a = dot(candidate.white, candidate.white);
	const b = dot(candidate.white, figures);
	const room = 1 + a * spread ** 2;
	const size = (b * spread ** 2 + likely) / room;
	const fit = (b ** 2 * spread ** 2 + 2 * b * likely - a * likely ** 2) / room;
	let logWeight = Math.log(share) + (fit - Math.log(room)) / 2;
	if (onlyAboveZero && spread > 0) {
		const after = normalBelow(size / (spread / Math.sqrt(room)));
		logWeight += Math.log(Math.max(after, 1e-300) / normalBelow(likely / spread));
	}
	return { candidate, logWeight, size, sigmas: Math.abs(size) * Math.sqrt(a) };
}

function heaviest(weighed: readonly Weighed[]): Weighed | null {
	return weighed.reduce<Weighed | null>(
		(best, entry) => (best === null || entry.logWeight > best.logWeight ? entry : best),
		null,
	);
}

function nameOf(weighed: WeighedSuspect | undefined): string {
	return weighed === undefined ? '' : `${weighed.suspect.cause}: ${weighed.suspect.who}`;
}

function alike(a: Float64Array, b: Float64Array): number {
	return Math.abs(dot(a, b)) / Math.sqrt(dot(a, a) * dot(b, b));
}

function subtract(figures: Float64Array, white: Float64Array, size: number): Float64Array {
	return figures.map((value, index) => value - size * (white[index] ?? 0));
}

/** What is left of figures when nothing along one direction counts. */
function without(figures: Float64Array, white: Float64Array): Float64Array {
	const part = dot(figures, white) / dot(white, white);
	return subtract(figures, white, part);
}

function squareOf(white: Float64Array | undefined): number {
	return white === undefined ? 0 : dot(white, white);
}
