import L from 'leaflet';
import { createContext } from 'react';
import type { BackgroundLayer } from '../../shared/core/map/background-layer.ts';

/** The layer under every map of this book; null: none is set, and no server is asked. */
export const BackgroundContext = createContext<BackgroundLayer | null>(null);

/** Lays pictures of a server under a map, and says whether it can be reached. Gives the way to take them off. */
export function layBackground(map: L.Map, background: BackgroundLayer, reached: (is: boolean) => void): () => void {
	const layer = layerOf(background);
	let came = false;
	layer.on('loading', () => {
		came = false;
	});
	layer.on('tileload', () => {
		came = true;
		reached(true);
	});
	layer.on('tileerror', () => {
		if (!came) reached(false);
	});
	layer.addTo(map);
	return () => {
		layer.remove();
	};
}

function layerOf({ kind, address, layers, deepestZoom }: BackgroundLayer): L.TileLayer {
	if (kind === 'wms') return L.tileLayer.wms(address, { layers: layers ?? '', format: 'image/png', maxZoom: 22 });
	return L.tileLayer(address, { maxNativeZoom: deepestZoom, maxZoom: 22 });
}
