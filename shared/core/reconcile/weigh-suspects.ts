import { type Effect, type SeasonEvidence, type Stretches, whiteEffect } from './season-evidence.ts';
import { holm, normalBelow, twoSidedChance } from './statistics.ts';
import type { Suspect } from './suspect.ts';
import { dot } from './whitening.ts';

/**
 * Chance of a single wrong accusation on a sound farm, all products, fields and sprayers together. It is to stay at or
 * below 5 %; a little is kept back because the errors of jugs, counters and opened containers are not quite normal.
 */
const ACCUSE_LEVEL = 0.04;
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
/** A suspect of which less than this share of its square is still unexplained is not asked again. */
const LEAST_LEFT = 0.1;
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

type Candidate = { readonly suspect: Suspect; readonly white: Stretches };

/** What is left of the figures, and the directions along which nothing counts any more (each of length 1). */
type Rest = { readonly figures: Float64Array; readonly explained: readonly Float64Array[] };

/**
 * Whether anything is wrong, and which suspects explain it, in sets that the figures cannot take apart.
 *
 *   z of a direction t = t·y ÷ |t| on whitened figures y; something is wrong when Holm's rule rejects one at 4 %
 *   2 ln(weight of a suspect) = (B²τ² + 2Bμ − Aμ²) ÷ (1 + Aτ²) − ln(1 + Aτ²), A = t·t, B = t·y, sizes μ ± τ
 *
 * The second line is the fit (fall of χ²) less a penalty for a size that is free. The set of a finding is the fewest
 * suspects that hold 95 % of the weight. What the best one explains is taken out, and the rest is asked again.
 * Source: Kass & Raftery, Bayes factors, J. Am. Stat. Assoc. 90 (1995) 773–795; Holm 1979.
 */
export function weighSuspects(evidence: SeasonEvidence, suspects: readonly Suspect[]): WeighedSuspect[][] {
	const findings: WeighedSuspect[][] = [];
	const known = new Map<Effect, Stretches>();
	const candidates = suspects.map((suspect) => {
		const white = known.get(suspect.effect) ?? whiteEffect(evidence, suspect.effect);
		known.set(suspect.effect, white);
		return { suspect, white };
	});
	let rest: Rest = { figures: evidence.white, explained: [] };
	while (findings.length < MOST_FINDINGS && somethingIsWrong(rest, candidates)) {
		const { set, best } = explain(rest, candidates);
		if (best === null) break;
		findings.push(set);
		rest = takenOut(rest, best);
	}
	return findings;
}

/** The figures without what the best suspect explains, and without anything else along its direction. */
function takenOut({ figures, explained }: Rest, best: Weighed): Rest {
	const direction = unitOf(best.candidate.white, { figures, explained });
	if (direction === null) return { figures, explained };
	const part = dot(figures, direction);
	const left = figures.map((value, index) => value - part * (direction[index] ?? 0));
	return { figures: left, explained: [...explained, direction] };
}

/** Is any direction a suspect points in more than chance, all of them taken together? */
function somethingIsWrong(rest: Rest, candidates: readonly Candidate[]): boolean {
	const stands = (tested: Suspect['tested'], level: number) => {
		const asked = candidates.filter(({ suspect }) => suspect.tested === tested);
		const chances = distinctDirections(asked, rest).map((unit) => twoSidedChance(dot(unit, rest.figures)));
		return holm(chances, level).includes(true);
	};
	return stands('by itself', (1 - GROSS_PART) * ACCUSE_LEVEL) || stands('when gross', GROSS_PART * ACCUSE_LEVEL);
}

function distinctDirections(candidates: readonly Candidate[], rest: Rest): Float64Array[] {
	const directions: Float64Array[] = [];
	for (const { white } of candidates) {
		const unit = unitOf(white, rest);
		if (unit !== null && directions.every((known) => Math.abs(dot(known, unit)) < SAME_DIRECTION))
			directions.push(unit);
	}
	return directions;
}

type Weighed = { candidate: Candidate; logWeight: number; size: number; length: number; sigmas: number };

/** The set of suspects that explain the figures, heaviest first, and the one way that explains them best. */
function explain(rest: Rest, candidates: readonly Candidate[]): { set: WeighedSuspect[]; best: Weighed | null } {
	const weighed = candidates.flatMap((candidate) => weigh(rest, candidate));
	const best = heaviest(weighed);
	if (best === null) return { set: [], best };
	const direction = unitOf(best.candidate.white, rest);
	const rivals = weighed.filter((rival) => alike(rival, direction) >= SAME_FIGURES);
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
		if (enough && !twins(way, ranked[0]?.way ?? best, rest)) continue;
		held += weight;
		set.push({ suspect: way.candidate.suspect, size: way.size, sigmas: way.sigmas, share: weight / total });
	}
	return { set, best: heaviest(groups.get(nameOf(set[0])) ?? rivals) };
}

/** No figure could ever tell these two apart, only what is likely beforehand; that must not clear one of them. */
function twins(one: Weighed, other: Weighed, rest: Rest): boolean {
	const [a, b] = [one.candidate.suspect, other.candidate.suspect];
	const sameSizes = a.spread > 0 && a.spread === b.spread && a.likely === b.likely;
	return sameSizes && alike(one, unitOf(other.candidate.white, rest)) >= TWINS;
}

/** The weight of the evidence for one way, its size after the figures, and that size in standard errors. */
function weigh(rest: Rest, candidate: Candidate): Weighed[] {
	const { likely, spread, onlyAboveZero, share } = candidate.suspect;
	const whole = squareOf(candidate.white);
	const a = whole - rest.explained.reduce((sum, direction) => sum + along(candidate.white, direction) ** 2, 0);
	if (a <= LEAST_LEFT * whole) return [];
	const b = along(candidate.white, rest.figures);
	const room = 1 + a * spread ** 2;
	const expected = (b * spread ** 2 + likely) / room;
	// A size nobody expected is told as it was measured.
	const size = likely === 0 ? b / a : expected;
	const fit = (b ** 2 * spread ** 2 + 2 * b * likely - a * likely ** 2) / room;
	let logWeight = Math.log(share) + (fit - Math.log(room)) / 2;
	if (onlyAboveZero && spread > 0) {
		const after = normalBelow(expected / (spread / Math.sqrt(room)));
		logWeight += Math.log(Math.max(after, 1e-300) / normalBelow(likely / spread));
	}
	return [{ candidate, logWeight, size, length: Math.sqrt(a), sigmas: Math.abs(size) * Math.sqrt(a) }];
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

/** How far two suspects move the figures alike: 1 quite, 0 not at all. */
function alike({ candidate, length }: Weighed, direction: Float64Array | null): number {
	return direction === null ? 0 : Math.abs(along(candidate.white, direction)) / length;
}

/** The direction of a suspect in what still counts, at length 1; null when nearly all of it is explained already. */
function unitOf(white: Stretches, { figures, explained }: Rest): Float64Array | null {
	const full = new Float64Array(figures.length);
	for (const { start, values } of white) full.set(values, start);
	for (const direction of explained) {
		const part = dot(full, direction);
		for (let index = 0; index < full.length; index++) full[index] = (full[index] ?? 0) - part * (direction[index] ?? 0);
	}
	const square = dot(full, full);
	return square <= LEAST_LEFT * squareOf(white) ? null : full.map((value) => value / Math.sqrt(square));
}

function along(white: Stretches, figures: Float64Array): number {
	return white.reduce((sum, { start, values }) => sum + dot(values, figures.subarray(start, start + values.length)), 0);
}

function squareOf(white: Stretches): number {
	return white.reduce((sum, { values }) => sum + dot(values, values), 0);
}
