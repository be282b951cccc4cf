import { M2_PER_HECTARE } from '../../units/area.ts';
import type { Hectares, Metres } from '../../units/quantity.ts';
import { recogniseMixUp } from './unit-mix-up.ts';

/** EU 796/2004 art. 30(1), 1122/2009 art. 34(1): at most 1.5 m on the perimeter. Historic, from memory. */
export const DEFAULT_BUFFER_M = 1.5;
/** The same articles: at most 1.0 ha a parcel. Historic, from memory. */
export const DEFAULT_CAP_HA = 1;

/** 0.01 mm² of ground: what a sum of figures may be off by in a computer's last digits. */
const LAST_DIGITS_HA = 1e-9;

export type ReconcileInput = {
	/** Greater than zero. */
	readonly measuredHa: Hectares;
	/** Zero or more: some registers round a small field to 0.00. */
	readonly mappedHa: Hectares;
	/** Greater than zero. */
	readonly perimeterM: Metres;
	/** Ground the mapped figure leaves out. */
	readonly strips?: readonly { readonly label: string; readonly areaHa: Hectares }[] | undefined;
	/** The step the mapped figure is rounded to: 0.01 for two decimals. */
	readonly mappedStepHa?: Hectares | undefined;
	/** How much the mapped figure's plane is too large (+) or too small (−), parts per million. */
	readonly gridScalePpm?: number | undefined;
	readonly bufferM?: Metres | undefined;
	readonly capHa?: Hectares | undefined;
};

export type DifferenceCause = {
	readonly cause: 'strips' | 'rounding' | 'grid scale' | 'unit or column mix-up';
	/** Signed: what this cause adds to measured − mapped. */
	readonly areaHa: Hectares;
	readonly say: string;
};

export type Reconciled = {
	readonly differenceHa: Hectares;
	/** Of the mapped area; null where that is zero. */
	readonly differencePercent: number | null;
	/** How wide a strip all round the field the difference is worth. */
	readonly edgeStripM: Metres;
	readonly toleranceHa: Hectares;
	readonly withinTolerance: boolean;
	readonly causes: readonly DifferenceCause[];
	readonly explainedHa: Hectares;
	readonly unexplainedHa: Hectares;
};

/**
 * Why a field's measured and mapped areas differ, and whether what remains is within measuring tolerance.
 *
 *   difference = measured − mapped            edge strip [m] = difference × 10,000 ÷ perimeter
 *   unexplained = difference − (strips + rounding + grid scale + mix-up)
 *   tolerance = the smaller of perimeter × buffer ÷ 10,000 and the cap
 *
 * Each cause is signed as a part of the difference, so that mapped + causes comes towards measured:
 * strips, + what the mapped figure leaves out; grid scale, mapped ÷ (1 + ppm × 10⁻⁶) − mapped; mix-up, the figure put right
 * − mapped; rounding, what then remains, at most half the mapped figure's step either way.
 * A mix-up is only looked for where the plain causes leave more than the tolerance; where one is found the other causes
 * are taken of the figure put right.
 * "Within tolerance" says that two measurements agree, never that a claim is allowed.
 * Source of the tolerance: the constants above; worked table in tests/reference/area-tolerance.test.ts.
 */
export function reconcile(input: ReconcileInput): Reconciled {
	const { measuredHa, mappedHa, perimeterM } = input;
	const differenceHa = measuredHa - mappedHa;
	const toleranceHa = areaTolerance(perimeterM, input.bufferM ?? DEFAULT_BUFFER_M, input.capHa ?? DEFAULT_CAP_HA);
	let causes = plainCauses(input, mappedHa, 1);
	if (Math.abs(differenceHa - sumOf(causes)) > toleranceHa + LAST_DIGITS_HA) causes = mixUpCauses(input) ?? causes;
	const explainedHa = sumOf(causes);
	const unexplainedHa = differenceHa - explainedHa;
	return {
		differenceHa,
		differencePercent: mappedHa > 0 ? (differenceHa / mappedHa) * 100 : null,
		edgeStripM: (differenceHa * M2_PER_HECTARE) / perimeterM,
		toleranceHa,
		withinTolerance: Math.abs(unexplainedHa) <= toleranceHa + LAST_DIGITS_HA,
		causes,
		explainedHa,
		unexplainedHa,
	};
}

/**
 * How far two measurements of one field may lie apart.
 *
 *   tolerance [ha] = the smaller of perimeter [m] × buffer [m] ÷ 10,000 and the cap [ha]
 */
export function areaTolerance(perimeterM: Metres, bufferM: Metres, capHa: Hectares): Hectares {
	return Math.min((perimeterM * bufferM) / M2_PER_HECTARE, capHa);
}

/** The difference as a person on the field sees it: "The measured area is 0.31 ha larger than the mapped one: 1.9 m all round." */
export function explainDifference({
	differenceHa,
	edgeStripM,
}: Pick<Reconciled, 'differenceHa' | 'edgeStripM'>): string {
	if (Math.abs(differenceHa) < LAST_DIGITS_HA) return 'The measured and the mapped area are the same.';
	const larger = differenceHa > 0 ? 'larger' : 'smaller';
	return `The measured area is ${areaText(Math.abs(differenceHa))} ${larger} than the mapped one: ${stripText(edgeStripM)}.`;
}

function areaText(areaHa: Hectares): string {
	if (areaHa >= 0.005) return `${areaHa.toFixed(2)} ha`;
	const m2 = areaHa * M2_PER_HECTARE;
	return m2 >= 0.5 ? `${m2.toFixed(0)} m²` : 'less than 1 m²';
}

function stripText(edgeStripM: Metres): string {
	const width = Math.abs(edgeStripM);
	return width >= 0.05 ? `${width.toFixed(1)} m all round` : 'less than 0.1 m all round';
}

/** Strips, rounding and grid scale of a mapped figure in hectares; `factor` turned the figure as read into hectares. */
function plainCauses(input: ReconcileInput, mappedHa: Hectares, factor: number): DifferenceCause[] {
	const strips = input.strips ?? [];
	const stripsHa = strips.reduce((sum, strip) => sum + strip.areaHa, 0);
	const ppm = input.gridScalePpm ?? 0;
	const gridHa = mappedHa / (1 + ppm * 1e-6) - mappedHa;
	const remains = input.measuredHa - mappedHa - stripsHa - gridHa;
	const halfStep = ((input.mappedStepHa ?? 0) * factor) / 2;
	const roundingHa = Math.max(-halfStep, Math.min(halfStep, remains));
	const causes: DifferenceCause[] = [
		{
			cause: 'strips',
			areaHa: stripsHa,
			say: `left out of the mapped area: ${strips.map((strip) => strip.label).join(', ')}`,
		},
		{ cause: 'rounding', areaHa: roundingHa, say: `the mapped area is given in steps of ${halfStep * 2} ha` },
		{
			cause: 'grid scale',
			areaHa: gridHa,
			say: `the mapped area is a plane area on its map grid, ${Math.abs(ppm / 1e4).toFixed(3)} % too ${ppm > 0 ? 'large' : 'small'}`,
		},
	];
	return causes.filter(({ areaHa }) => areaHa !== 0);
}

/** The causes when the mapped figure was in another unit or column; null when it was not. */
function mixUpCauses(input: ReconcileInput): DifferenceCause[] | null {
	const { measuredHa, mappedHa } = input;
	const stripsHa = (input.strips ?? []).reduce((sum, strip) => sum + strip.areaHa, 0);
	const mixUp = recogniseMixUp(measuredHa - stripsHa, mappedHa);
	if (!mixUp) return null;
	if (mixUp.toHectares === null) {
		return [{ cause: 'unit or column mix-up', areaHa: measuredHa - mappedHa, say: mixUp.say }];
	}
	const rightHa = mappedHa * mixUp.toHectares;
	return [
		...plainCauses(input, rightHa, mixUp.toHectares),
		{ cause: 'unit or column mix-up', areaHa: rightHa - mappedHa, say: mixUp.say },
	];
}

function sumOf(causes: readonly DifferenceCause[]): Hectares {
	return causes.reduce((sum, { areaHa }) => sum + areaHa, 0);
}
