import type { Polygon, Position } from 'geojson';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import { findOverlaps } from '../../shared/core/geometry/overlap.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { areaByGeographicLib } from '../geographiclib.ts';
import { type BenchRow, bestMs } from './row.ts';

const FIELDS = 10_000;
/** The median of a national register. */
const POINTS = 37;

/** Areas of 10,000 invented fields, beside GeographicLib's JavaScript for the same fields. */
export function areaRow(): BenchRow {
	const fields = inventedFields();
	const ours = bestMs(() => {
		let areaHa = 0;
		for (const geometry of fields) {
			const measured = measure({ geometry });
			if (measured.ok) areaHa += measured.value.areaHa;
		}
		return areaHa;
	});
	const reference = bestMs(() => fields.reduce((sum, geometry) => sum + areaByGeographicLib(geometry).areaHa, 0));
	return {
		name: `area of ${FIELDS} fields of ${POINTS} points`,
		ours,
		reference,
		ratio: ours / reference,
		note: 'area, perimeter and standard error; reference: geographiclib-geodesic, area and perimeter',
	};
}

/** What an import does besides measuring: oddities of 10,000 boundaries, and overlaps among them; reference: the measuring. */
export function boundaryCheckRow(): BenchRow {
	const fields = inventedFields();
	const register = fields.map((geometry, index) => ({ id: String(index), geometry }));
	const ours = bestMs(() => {
		for (const geometry of fields) boundaryFindings(geometry);
		return findOverlaps(register);
	});
	const reference = bestMs(() => {
		for (const geometry of fields) measure({ geometry });
	});
	return {
		name: `oddities and overlaps of ${FIELDS} fields`,
		ours,
		reference,
		ratio: ours / reference,
		note: 'reference: measuring the same fields',
	};
}

/** Fields on a grid of 100 by 100, uneven in outline, each touching the next. The same every time. */
function inventedFields(): Polygon[] {
	return Array.from({ length: FIELDS }, (_, field) => {
		const [lon, lat] = [8 + (field % 100) * 0.004, 51 + Math.floor(field / 100) * 0.0025];
		const ring = Array.from({ length: POINTS }, (_, point): Position => {
			const angle = (2 * Math.PI * point) / POINTS;
			const radius = 0.9 + 0.1 * Math.sin(7 * angle + field) + 0.03 * Math.cos(3 * angle * ((field % 5) + 1));
			return [lon + 0.002 * radius * Math.cos(angle), lat + 0.00125 * radius * Math.sin(angle)];
		});
		return { type: 'Polygon', coordinates: [[...ring, ring[0] ?? []]] };
	});
}
