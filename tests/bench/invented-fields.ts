import type { Polygon, Position } from 'geojson';

export const FIELDS = 10_000;
/** The median of a national register. */
export const POINTS = 37;

/** Fields on a grid of 100 by 100, uneven in outline, each touching the next. The same every time. */
export function inventedFields(): Polygon[] {
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
