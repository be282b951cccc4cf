import { area as turfArea } from '@turf/area';
import { ok, type Result } from '../../basics/result.ts';
import { toHectares } from '../../units/area.ts';
import type { Hectares, Metres } from '../../units/quantity.ts';
import { areaSigma } from './area-error.ts';
import { authalicRing } from './authalic-ring.ts';
import { invalid, readBoundary, ringName, type UncheckedGeometry } from './boundary.ts';
import { AUTHALIC_RADIUS_M } from './ellipsoid.ts';
import { type UnrolledRing, unrollRing } from './unrolled-ring.ts';

/** Standard error of a boundary point per coordinate: satellite receiver with correction, driven or digitised. Common practice. */
export const DEFAULT_POSITION_SIGMA_M = 0.5;
/** How far a whole boundary may lie in or out of the crop's edge. Common practice. */
export const DEFAULT_EDGE_BIAS_M = 0.3;
/** Along a boundary, position errors nearer to each other than this go together. Common practice. */
export const DEFAULT_CORRELATION_M = 50;

export type MeasureInput = {
	readonly geometry: UncheckedGeometry;
	readonly positionSigmaM?: Metres;
	readonly edgeBiasM?: Metres;
	readonly correlationM?: Metres;
};

export type Measured = {
	readonly areaHa: Hectares;
	readonly perimeterM: Metres;
	/** Points of all rings, the closing repeat not counted. */
	readonly vertexCount: number;
	/** Standard error of the area. */
	readonly areaSigmaHa: Hectares;
};

/** Radius of the sphere that @turf/area computes on: the mean radius (2a + b) ÷ 3 of the International Union of Geodesy. */
const TURF_RADIUS_M = 6_371_008.8;
const ON_AUTHALIC_SPHERE = (AUTHALIC_RADIUS_M / TURF_RADIUS_M) ** 2;
/** Mean width (2 × area ÷ perimeter) below which a boundary encloses no ground: a tenth of a millimetre. */
const NO_WIDTH_M = 1e-4;

/**
 * Ground area, perimeter and standard error of a field boundary on the WGS 84 ellipsoid.
 *
 *   area = spherical area of the rings in authalic latitude × (authalic radius ÷ radius of the sum)²
 *
 * Edges are geodesics; each ring counts with its absolute area, outer rings add, holes subtract, and all rings add to the
 * perimeter. A ring that crosses itself is measured as it stands: `boundaryFindings` says so and gives the area of its
 * loops.
 * Refuses `geometry.invalid` for what is no boundary, goes round a pole, or encloses no ground.
 * Source: authalic latitude, Snyder 1987, eq. 3-11 to 3-13. Checked against GeographicLib in tests/reference.
 */
export function measure(input: MeasureInput): Result<Measured> {
	const boundary = readBoundary(input.geometry);
	if (!boundary.ok) return boundary;
	const several = input.geometry.type === 'MultiPolygon';
	const unrolled: UnrolledRing[] = [];
	const laidOut: number[][][][] = [];
	let perimeterM = 0;
	let vertexCount = 0;
	for (const [part, rings] of boundary.value.entries()) {
		const laidOutPart: number[][][] = [];
		for (const [index, ring] of rings.entries()) {
			const name = ringName({ several, part, ring: index });
			const flat = unrollRing(ring, name);
			if (!flat.ok) return flat;
			const onSphere = authalicRing(flat.value, name);
			if (!onSphere.ok) return onSphere;
			unrolled.push(flat.value);
			laidOutPart.push(onSphere.value.positions);
			perimeterM += onSphere.value.lengthM;
			vertexCount += ring.length;
		}
		laidOut.push(laidOutPart);
	}
	const areaM2 = turfArea({ type: 'MultiPolygon', coordinates: laidOut }) * ON_AUTHALIC_SPHERE;
	if (!(areaM2 > (NO_WIDTH_M * perimeterM) / 2)) {
		return invalid('it encloses no ground: its points lie on one line, its loops cancel, or its holes fill it');
	}
	const sigmaM2 = areaSigma(unrolled, {
		positionSigmaM: input.positionSigmaM ?? DEFAULT_POSITION_SIGMA_M,
		edgeBiasM: input.edgeBiasM ?? DEFAULT_EDGE_BIAS_M,
		correlationM: input.correlationM ?? DEFAULT_CORRELATION_M,
		perimeterM,
	});
	return ok({ areaHa: toHectares(areaM2), perimeterM, vertexCount, areaSigmaHa: toHectares(sigmaM2) });
}
