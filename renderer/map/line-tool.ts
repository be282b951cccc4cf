import L from 'leaflet';
import { geodesicBetween } from '../../shared/core/geometry/geodesic.ts';
import type { CanvasColours } from './canvas-colours.ts';

/** Lengths of the line that is being measured, in metres along the ground. */
export type LineLengths = { readonly points: number; readonly totalM: number; readonly lastM: number };

export type LineTool = {
	readonly begin: () => void;
	readonly add: (at: L.LatLng) => void;
	readonly takeBack: () => void;
	readonly end: () => void;
	readonly running: () => boolean;
};

/** Measures a line on a map, leg by leg along geodesics of the ellipsoid. */
export function lineTool(
	map: L.Map,
	colours: () => CanvasColours,
	says: (lengths: LineLengths | null) => void,
): LineTool {
	let points: L.LatLng[] | null = null;
	const drawn = L.layerGroup().addTo(map);

	function show(): void {
		drawn.clearLayers();
		says(points && lengthsOf(points));
		if (!points) return;
		const { ink, paper } = colours();
		L.polyline(points, { color: paper, weight: 6, interactive: false }).addTo(drawn);
		L.polyline(points, { color: ink, weight: 2.5, interactive: false }).addTo(drawn);
		for (const point of points) {
			const dot = { radius: 4, color: ink, fillColor: paper, fillOpacity: 1, weight: 2, interactive: false };
			L.circleMarker(point, dot).addTo(drawn);
		}
	}

	return {
		begin() {
			points = [];
			show();
		},
		add(at) {
			if (!points) return;
			points = [...points, at];
			show();
		},
		takeBack() {
			if (!points) return;
			points = points.slice(0, -1);
			show();
		},
		end() {
			points = null;
			show();
		},
		running: () => points !== null,
	};
}

function lengthsOf(points: readonly L.LatLng[]): LineLengths {
	const legs = points.slice(1).map((to, index) => {
		const from = points[index] ?? to;
		return geodesicBetween(from.lat, to.lat, to.lng - from.lng)?.lengthM ?? 0;
	});
	return { points: points.length, totalM: legs.reduce((sum, leg) => sum + leg, 0), lastM: legs.at(-1) ?? 0 };
}
