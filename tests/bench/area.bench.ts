import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import { findOverlaps } from '../../shared/core/geometry/overlap.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { areaByGeographicLib } from '../geographiclib.ts';
import { FIELDS, inventedFields, POINTS } from './invented-fields.ts';
import { type BenchRow, bestMs } from './row.ts';

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
