import { toHectares } from '../../units/area.ts';
import type { Hectares, SquareMetres } from '../../units/quantity.ts';

/** A ring in a file's own plane coordinates, in the file's unit; a closing repeat may stand. */
export type PlaneCoordinates = readonly (readonly number[])[];

/** One field of a file: its area on the file's plane, and its ground area by `measure`. */
export type PlaneAndGround = { readonly planeHa: Hectares; readonly groundHa: Hectares };

/**
 * Area of a boundary on the plane its file is written in.
 *
 *   area = ½ |Σ (x_i × y_{i+1} − x_{i+1} × y_i)| × (metres per unit)², outer rings − holes
 *
 * Sums from each ring's first point, so that grid coordinates of millions lose no digits.
 * Source: the surveyor's formula.
 */
export function planeArea(parts: readonly (readonly PlaneCoordinates[])[], metresPerUnit: number): Hectares {
	let squareUnits = 0;
	for (const rings of parts) {
		for (const [index, ring] of rings.entries()) squareUnits += (index === 0 ? 1 : -1) * Math.abs(shoelace(ring));
	}
	const areaM2: SquareMetres = squareUnits * metresPerUnit * metresPerUnit;
	return toHectares(areaM2);
}

/**
 * How much too large (+) or too small (−) areas on a file's plane are, in parts per million of the ground; null without
 * fields. The median of the file: a plane's scale is nearly the same for all fields of a farm.
 *
 *   scale = (plane area ÷ ground area − 1) × 10⁶
 */
export function gridScalePpm(fields: readonly PlaneAndGround[]): number | null {
	const scales = fields
		.filter(({ planeHa, groundHa }) => planeHa > 0 && groundHa > 0)
		.map(({ planeHa, groundHa }) => (planeHa / groundHa - 1) * 1e6);
	return median(scales);
}

/** The fewest fields that can decide whether a column is of the plane. */
const FEWEST_DECIDING = 3;
/** The share of them that must agree. */
const DECIDED_BY = 0.8;
/** Agreement beyond the column's own rounding: the ground areas' own accuracy. */
const AGREES_WITHIN = 1e-5;

/**
 * Whether a file's mapped areas are areas on its plane, on the ground, or neither can be told.
 *
 * A field counts when its mapped figure agrees, within half its step, with one of the two and not with the other. At least
 * three fields must count, four in five must agree, and they must not be a mere tenth of the file (chance).
 */
export function mappedAreasAreOf(
	fields: readonly (PlaneAndGround & { readonly mappedHa: Hectares })[],
	mappedStepHa: Hectares,
): 'plane' | 'ground' | 'unclear' {
	let plane = 0;
	let ground = 0;
	for (const { planeHa, groundHa, mappedHa } of fields) {
		const slack = mappedStepHa / 2 + AGREES_WITHIN * groundHa;
		const isPlane = Math.abs(mappedHa - planeHa) <= slack;
		const isGround = Math.abs(mappedHa - groundHa) <= slack;
		if (isPlane && !isGround) plane++;
		if (isGround && !isPlane) ground++;
	}
	const deciding = plane + ground;
	if (deciding < FEWEST_DECIDING || deciding * 10 < fields.length) return 'unclear';
	if (plane >= DECIDED_BY * deciding) return 'plane';
	return ground >= DECIDED_BY * deciding ? 'ground' : 'unclear';
}

/** Some files keep figures in single precision: 2.48 comes as 2.4800000190734863. IEEE 754, half a step of 24 binary digits. */
const SINGLE_PRECISION = 2 ** -24;

/**
 * The step a column of figures is rounded to, in the column's own unit: 0.01 for 3.17, 12.4 and 0.85. Null where the figures
 * show none or there are none.
 */
export function stepOfFigures(figures: readonly number[]): number | null {
	const finite = figures.filter(Number.isFinite);
	if (finite.length === 0) return null;
	const largest = finite.reduce((most, figure) => Math.max(most, Math.abs(figure)), 1);
	for (let decimals = 0; decimals <= 9; decimals++) {
		const factor = 10 ** decimals;
		const slack = SINGLE_PRECISION * largest * factor;
		if (slack > 0.05) return null;
		if (finite.every((figure) => Math.abs(figure * factor - Math.round(figure * factor)) <= slack)) return 1 / factor;
	}
	return null;
}

function shoelace(ring: PlaneCoordinates): number {
	const [x0 = 0, y0 = 0] = ring[0] ?? [];
	let twice = 0;
	for (const [index, [x = 0, y = 0]] of ring.entries()) {
		const [nextX = 0, nextY = 0] = ring[(index + 1) % ring.length] ?? [];
		twice += (x - x0) * (nextY - y0) - (nextX - x0) * (y - y0);
	}
	return twice / 2;
}

function median(values: readonly number[]): number | null {
	const sorted = values.toSorted((one, other) => one - other);
	const middle = sorted.length / 2;
	const upper = sorted[Math.floor(middle)];
	const lower = sorted[Math.ceil(middle) - 1];
	return upper === undefined || lower === undefined ? null : (upper + lower) / 2;
}
