import L from 'leaflet';
import type { CanvasColours } from './canvas-colours.ts';
import { type LonLat, shareAlong } from './outline.ts';

/** A run of edges that is pressed as one, such as a side of a field. */
export type EdgeRun = { readonly key: string; readonly name: string; readonly line: readonly LonLat[] };
export type EdgeChoice = {
	readonly runs: readonly EdgeRun[];
	/** Edges that are chosen, each as its line. */
	readonly chosen: readonly (readonly LonLat[])[];
	readonly onPress: (key: string) => void;
};

export type EdgePicks = {
	readonly show: (choice: EdgeChoice | undefined) => void;
	/** The run within reach of a place of the map's box, in px. */
	readonly at: (pixel: L.Point) => EdgeRun | null;
	/** Draws one run as pointed at. */
	readonly point: (run: EdgeRun | null) => void;
};

/** How far beside an edge a press still means it, in px: a finger is no pin. */
const REACH = 16;
/** More names than this at a time hide the edges. */
const MOST_NAMES = 40;
const CHOSEN_PX = 6;

/** Edges of a boundary that are picked on a map. */
export function edgePicks(map: L.Map, colours: () => CanvasColours): EdgePicks {
	let runs: readonly EdgeRun[] = [];
	const chosen = L.layerGroup().addTo(map);
	const pointed = L.layerGroup().addTo(map);
	const names = L.layerGroup().addTo(map);

	function line(points: readonly LonLat[], weight: number, color: string): L.Polyline {
		return L.polyline(points.map(latLng), { color, weight, interactive: false });
	}

	return {
		show(choice) {
			runs = choice?.runs ?? [];
			for (const layer of [chosen, pointed, names]) layer.clearLayers();
			const { ink, straw } = colours();
			for (const points of choice?.chosen ?? []) {
				line(points, CHOSEN_PX + 3, ink).addTo(chosen);
			}
			for (const points of choice?.chosen ?? []) line(points, CHOSEN_PX, straw).addTo(chosen);
			if (runs.length > MOST_NAMES) return;
			for (const run of runs) nameOf(run).addTo(names);
		},
		at(pixel) {
			let best: EdgeRun | null = null;
			let away = REACH;
			for (const run of runs) {
				const pixels = run.line.map((point) => map.latLngToContainerPoint(latLng(point)));
				for (const [index, to] of pixels.entries()) {
					const from = pixels[index - 1];
					if (!from) continue;
					const share = shareAlong(pixel, from, to);
					const off = Math.hypot(
						from.x + share * (to.x - from.x) - pixel.x,
						from.y + share * (to.y - from.y) - pixel.y,
					);
					if (off >= away) continue;
					away = off;
					best = run;
				}
			}
			return best;
		},
		point(run) {
			pointed.clearLayers();
			if (run) line(run.line, CHOSEN_PX, colours().ink).addTo(pointed);
		},
	};
}

/** A name stands beside the middle edge of its run. */
function nameOf({ line, name }: EdgeRun): L.Marker {
	const middle = Math.floor((line.length - 1) / 2);
	const [from, to] = [line[middle] ?? [0, 0], line[middle + 1] ?? line[middle] ?? [0, 0]];
	const label = document.createElement('span');
	label.textContent = name;
	return L.marker(latLng([(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]), {
		interactive: false,
		keyboard: false,
		icon: L.divIcon({ className: 'edge-name', html: label, iconSize: [0, 0] }),
	});
}

function latLng([lon, lat]: LonLat): L.LatLng {
	return L.latLng(lat, lon);
}
