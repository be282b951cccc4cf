import L from 'leaflet';

type Redraws = { readonly _map?: L.Map | null; readonly _redraw: () => void };

/**
 * A canvas that can be taken off the page at any time. The library forgets a frame it has asked for when a move of the map
 * draws at once; that frame then comes after the canvas is gone, and would draw on nothing.
 */
const CalmCanvas = L.Canvas.extend({
	_redraw(this: Redraws) {
		if (this._map) (L.Canvas.prototype as unknown as Redraws)._redraw.call(this);
	},
}) as unknown as new (
	options: L.RendererOptions,
) => L.Canvas;

export function calmCanvas(options: L.RendererOptions): L.Canvas {
	return new CalmCanvas(options);
}
