import type { Polygon, Position } from 'geojson';

export const FIELDS = 10_000;
/** The median of a national register. */
export const POINTS = 37;

export type LeftOut = {
	/** Which field it lies on. */
	readonly field: number;
	readonly kind: 'strip' | 'obstacle';
	readonly geometry: Polygon;
};

/** Every second field has a strip some 5 m wide along a third of its outline, every fourth a pond. */
export function inventedLeftOut(fields: readonly Polygon[]): LeftOut[] {
	return fields.flatMap(({ coordinates: [ring = []] }, field): LeftOut[] => {
		const middle = [8 + (field % 100) * 0.004, 51 + Math.floor(field / 100) * 0.0025];
		const towards = (share: number) => (point: Position) =>
			point.map((value, axis) => (middle[axis] ?? 0) + share * (value - (middle[axis] ?? 0)));
		const ground = (kind: LeftOut['kind'], outline: Position[]): LeftOut => ({
			field,
			kind,
			geometry: { type: 'Polygon', coordinates: [[...outline, outline[0] ?? []]] },
		});
		const along = ring.slice(0, Math.ceil(POINTS / 3));
		const strip = ground('strip', [...along, ...along.map(towards(0.96)).toReversed()]);
		const pond = ground('obstacle', ring.slice(0, -1).map(towards(0.15)));
		return [...(field % 2 === 0 ? [strip] : []), ...(field % 4 === 1 ? [pond] : [])];
	});
}

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
