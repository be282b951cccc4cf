/** Measures a placed record and finds what is odd about it. What cannot be measured is refused, what is only odd is reported. */
import type { MultiPolygon, Polygon } from 'geojson';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import type { BoundaryFinding } from '../../shared/core/geometry/boundary-finding.ts';
import { type Measured, measure } from '../../shared/core/geometry/polygon-area.ts';
import { geometryOf } from './geometry-of.ts';
import type { PlacedRecord } from './place-records.ts';

export type JudgedRecord = PlacedRecord & {
	readonly measured: Measured | null;
	readonly findings: readonly BoundaryFinding[];
	/** The same boundary as GeoJSON; null where the record was refused. */
	readonly geometry: Polygon | MultiPolygon | null;
};

/** Adds the measured figures, or the reason why there are none. Shapes that cross themselves are kept: they have an area. */
export function judgeRecord(placed: PlacedRecord): JudgedRecord {
	if (placed.refused !== null) return { ...placed, measured: null, findings: [], geometry: null };
	const geometry = geometryOf(placed.polygons);
	const findings = boundaryFindings(geometry);
	const measured = measure({ geometry });
	if (measured.ok) return { ...placed, measured: measured.value, findings, geometry };
	// A figure of eight with equal loops has no area either; that it crosses itself is the better reason.
	const crossing = findings.find(({ kind }) => kind === 'self-crossing')?.say;
	const refused = crossing ?? String(measured.problem.details['why']);
	return { ...placed, polygons: [], planarAreaM2: null, refused, measured: null, findings, geometry: null };
}
