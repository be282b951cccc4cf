/** Measures a placed record and finds what is odd about it. What cannot be measured is refused, what is only odd is reported. */
import type { MultiPolygon, Polygon } from 'geojson';
import { ringName } from '../../shared/core/geometry/boundary.ts';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import type { BoundaryFinding } from '../../shared/core/geometry/boundary-finding.ts';
import { geodesicBetween } from '../../shared/core/geometry/geodesic.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { type BoundaryRepair, repairBoundary } from '../../shared/core/geometry/repair-boundary.ts';
import { shortWay } from '../../shared/core/geometry/unrolled-ring.ts';
import { geometryOf } from './geometry-of.ts';
import type { PlacedRecord } from './place-records.ts';

export type JudgedRecord = PlacedRecord & {
	readonly measured: Measured | null;
	readonly findings: readonly BoundaryFinding[];
	/** What could safely be put right, with its area; null where nothing is odd. */
	readonly repair: JudgedRepair | null;
};

/** With the area of the repaired outline; null where nothing is safe to do. */
export type JudgedRepair = BoundaryRepair & { readonly measured: Measured | null };

/** Closing a ring needs no repair: it has no area before that. It is done, and said. */
const NOTHING_TO_REPAIR = new Set(['open ring', 'self-touching', 'outside region']);
/** Said of what cannot be repaired by what it is, whatever else is. */
const leftAsItIs: Readonly<Record<string, string>> = {
	'parts far apart': 'parts far apart may be two fields under one name: split the field where they are',
};

/** Adds the measured figures, or the reason why there are none. Shapes that cross themselves are kept: they have an area. */
export function judgeRecord(placed: PlacedRecord): JudgedRecord {
	if (placed.refused !== null) return { ...placed, measured: null, findings: [], repair: null };
	const geometry = geometryOf(placed.polygons);
	const findings = [...openRings(placed), ...boundaryFindings(geometry)];
	const repair = repairOf(geometry, findings);
	const measured = measure({ geometry });
	if (measured.ok) return { ...placed, measured: measured.value, findings, repair };
	// A figure of eight with equal loops has no area either; that it crosses itself is the better reason.
	const crossing = findings.find(({ kind }) => kind === 'self-crossing')?.say;
	const refused = crossing ?? String(measured.problem.details['why']);
	return { ...placed, polygons: [], planarAreaM2: null, refused, measured: null, findings, repair };
}

function repairOf(geometry: Polygon | MultiPolygon, findings: readonly BoundaryFinding[]): JudgedRepair | null {
	const told = findings.filter(({ kind }) => !NOTHING_TO_REPAIR.has(kind));
	if (told.length === 0) return null;
	const repair = repairBoundary(geometry);
	const reasons = new Set(told.flatMap(({ kind }) => leftAsItIs[kind] ?? []));
	const left = [...repair.left, ...reasons];
	const measured = repair.geometry ? measure({ geometry: repair.geometry }) : null;
	return measured?.ok
		? { ...repair, left, measured: measured.value }
		: { ...repair, left, geometry: null, measured: null };
}

/** Rings were closed when they were placed; this says which, and how long the closing side is. */
function openRings({ closedRings, polygons }: PlacedRecord): BoundaryFinding[] {
	const several = polygons.length > 1;
	return closedRings.map(({ part, ring }) => {
		const points = polygons[part]?.[ring] ?? new Float64Array();
		const [lon = 0, lat = 0, lastLon = 0, lastLat = 0] = [points[0], points[1], points.at(-4), points.at(-3)];
		const side = geodesicBetween(lat, lastLat, shortWay(lastLon - lon))?.lengthM;
		const long = side === undefined ? '' : `, with a side of ${side.toFixed(1)} m`;
		const name = ringName({ several, part, ring });
		return {
			kind: 'open ring',
			part,
			ring,
			say: `${name} does not return to its first point; it was closed there${long}`,
		};
	});
}
