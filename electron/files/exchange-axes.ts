/** Coordinates that stand in a file in the wrong order: latitude before longitude, northing before easting. */
import type { RawLayer, Ring } from './layer.ts';

/** The layer with the two coordinates of every point exchanged. */
export function exchangeAxes(layer: RawLayer): RawLayer {
	const { outlines, records } = layer;
	return {
		...layer,
		...(outlines && {
			outlines: function* () {
				for (const rings of outlines()) yield rings.map(exchanged);
			},
		}),
		*records() {
			for (const record of records()) {
				yield { ...record, polygons: record.polygons.map((rings) => rings.map(exchanged)) };
			}
		},
	};
}

function exchanged(ring: Ring): Ring {
	return ring.map((_, at) => ring[at % 2 === 0 ? at + 1 : at - 1] ?? Number.NaN);
}
