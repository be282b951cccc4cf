import type { Hectares } from '../../units/quantity.ts';

/** One whole-field area as the sprayer reported it at the end of a job. */
export type Pass = {
	readonly areaHa: Hectares;
	/** The counter adds ground the boom covered twice; null where nobody said. */
	readonly withOverlap: boolean | null;
	/** What the job was loaded for; null where the figure came without a job. */
	readonly plannedHa: Hectares | null;
};

/** The figures the register has of the same ground. */
export type KnownGround = {
	/** Boundary less strips and obstacles, with its standard error; null without a boundary. */
	readonly boundary: { readonly areaHa: Hectares; readonly sigmaHa: Hectares } | null;
	readonly mappedHa: Hectares | null;
	readonly loadForHa: Hectares | null;
};

export type PassVerdict = 'too few' | 'as loaded' | 'boundary is better' | 'apart' | 'propose';

export type SprayedArea = {
	readonly passes: number;
	readonly meanHa: Hectares;
	/** Between single passes; null for one. */
	readonly spreadHa: Hectares | null;
	/** Standard error of the mean. */
	readonly sigmaHa: Hectares;
	readonly verdict: PassVerdict;
	readonly say: string;
};

/** A job was for this ground when it was loaded for one of its figures within this share. Common practice. */
const SAME_GROUND = 0.01;
/** A whole field is at least this share of what was planned: else the job stopped early, or went on elsewhere. Common practice. */
const WHOLE_FIELD = 0.1;
/** Two passes may agree by chance. Common practice. */
export const FEWEST_PASSES = 3;
/** Spread of a set-up counter from pass to pass, as a share of the area, before the passes themselves say. Common practice. */
export const USUAL_SPREAD = 0.005;
/** What all passes of one counter may share (working width, speed signal) after it was set up. Common practice. */
export const SHARED_ERROR = 0.002;
/** Standard errors beyond which two figures are not of the same ground. */
const APART_SIGMAS = 3;
/** Areas are shown to the hundredth of a hectare. */
const SHOWN_HA = 0.005;

/** Why a pass is no evidence of the field's treated ground, or null where it is. Machine area drives litres, never ground. */
export function whyNotCounted(pass: Pass, known: KnownGround): string | null {
	if (pass.withOverlap) return 'machine area: the counter adds overlap';
	const figures = [known.boundary?.areaHa, known.mappedHa, known.loadForHa].filter(
		(areaHa): areaHa is Hectares => areaHa !== null && areaHa !== undefined && areaHa > 0,
	);
	const { plannedHa } = pass;
	if (plannedHa !== null && figures.length > 0 && !figures.some((areaHa) => near(plannedHa, areaHa, SAME_GROUND))) {
		return 'the job was for other ground than the field is now';
	}
	const whole = plannedHa ?? figures[0];
	return whole === undefined || near(pass.areaHa, whole, WHOLE_FIELD) ? null : 'not the whole field, or more than it';
}

/**
 * What several passes say of a field's treated ground, and whether that is better evidence than its boundary.
 *
 *   mean = Σ area ÷ n
 *   spread² = (Σ (area − mean)² + (0.005 × mean)²) ÷ n      (the usual spread counts as one more pass)
 *   σ² = spread² ÷ n + (0.002 × mean)²                      (what all passes share does not average out)
 *
 * Proposed with three passes or more, where σ is below the boundary's and the two agree within three standard errors;
 * further apart they are not of the same ground, or the counter adds overlap, and no figure is proposed. The user decides.
 * `passes` are those that count (`whyNotCounted`); null for none. Source: common practice; the widened spread is the
 * posterior scale of a normal sample with one prior observation (Gelman et al., Bayesian Data Analysis, §3.3).
 */
export function sprayedArea(passes: readonly { readonly areaHa: Hectares }[], known: KnownGround): SprayedArea | null {
	const many = passes.length;
	if (many === 0) return null;
	const meanHa = passes.reduce((sum, { areaHa }) => sum + areaHa, 0) / many;
	const squares = passes.reduce((sum, { areaHa }) => sum + (areaHa - meanHa) ** 2, 0);
	const widened = (squares + (USUAL_SPREAD * meanHa) ** 2) / many;
	const sigmaHa = Math.sqrt(widened / many + (SHARED_ERROR * meanHa) ** 2);
	const verdict = judge({ many, meanHa, sigmaHa }, known);
	return {
		passes: many,
		meanHa,
		spreadHa: many > 1 ? Math.sqrt(squares / (many - 1)) : null,
		sigmaHa,
		verdict,
		say: sentence({ many, meanHa, sigmaHa, verdict }, known),
	};
}

type Mean = { readonly many: number; readonly meanHa: Hectares; readonly sigmaHa: Hectares };

function judge({ many, meanHa, sigmaHa }: Mean, { boundary, loadForHa }: KnownGround): PassVerdict {
	if (boundary) {
		const allowed = APART_SIGMAS * Math.hypot(sigmaHa, boundary.sigmaHa);
		if (many >= FEWEST_PASSES && Math.abs(meanHa - boundary.areaHa) > allowed) return 'apart';
	}
	if (many < FEWEST_PASSES) return 'too few';
	if (loadForHa !== null && Math.abs(meanHa - loadForHa) < SHOWN_HA) return 'as loaded';
	return boundary && boundary.sigmaHa <= sigmaHa ? 'boundary is better' : 'propose';
}

function sentence(mean: Mean & { readonly verdict: PassVerdict }, { boundary }: KnownGround): string {
	const passes = mean.many === 1 ? '1 pass says' : `${mean.many} passes say`;
	const said = `${passes} ${plusMinus(mean.meanHa, mean.sigmaHa)}`;
	const both = boundary ? `${said}; the boundary says ${plusMinus(boundary.areaHa, boundary.sigmaHa)}` : said;
	switch (mean.verdict) {
		case 'too few':
			return `${both}. From ${FEWEST_PASSES} passes on they may count as evidence.`;
		case 'as loaded':
			return `${both}. That is what the field is loaded for.`;
		case 'boundary is better':
			return `${both}. The boundary is the better evidence.`;
		case 'apart':
			return `${both}. That is further apart than both can err: the counter adds overlap, or it was other ground.`;
		case 'propose':
			return `${both}.`;
	}
}

function plusMinus(areaHa: Hectares, sigmaHa: Hectares): string {
	return `${areaHa.toFixed(2)} ± ${Math.max(0.01, sigmaHa).toFixed(2)} ha`;
}

function near(one: Hectares, other: Hectares, share: number): boolean {
	return Math.abs(one - other) <= share * other;
}
