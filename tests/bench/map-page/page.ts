import { MantineProvider } from '@mantine/core';
import L from 'leaflet';
import { createElement } from 'react';
import { createRoot } from 'react-dom/client';
import { differenceLooks } from '../../../renderer/map/field-classes.ts';
import { FieldMap } from '../../../renderer/map/field-map.tsx';
import { type Look, leftOutLooks, looksFor } from '../../../renderer/map/looks.tsx';
import type { MapField } from '../../../renderer/map/map-field.ts';
import { inventedFields, inventedLeftOut } from '../invented-fields.ts';

/** How the fields are drawn: by the program's own map, or by the library alone with one polygon each in one colour. */
export type Way = 'by crop' | 'by difference' | 'bare';
export type MapTimes = { readonly pan: number; readonly whole: number };

const CROPS = 12;
const STEP_PX = 45;

const host = document.getElementById('map') ?? document.body;
const made: L.Map[] = [];
L.Map.addInitHook(function (this: L.Map) {
	made.push(this);
});

/**
 * Medians in ms of as many redraws each: after moves of 45 px with fields beyond every edge of the view, and of all ten
 * thousand fields in one view at another zoom.
 */
export async function times(way: Way, steps: number): Promise<MapTimes> {
	made.length = 0;
	const fields = inventedFields();
	const end = way === 'bare' ? drawBare(fields) : drawOurs(fields, way);
	while (made.length === 0) await frame();
	for (let count = 0; count < 5; count++) await frame();
	const map = made[0];
	if (!map) throw new Error('no map');
	const [centre, zoom] = [map.getCenter(), map.getZoom()];
	const pan: number[] = [];
	const whole: number[] = [];
	map.setView(centre, zoom + 0.5, { animate: false });
	for (let step = 0; step < steps; step++) {
		const dx = step % 8 < 4 ? STEP_PX : -STEP_PX;
		pan.push(await timed(() => map.panBy([dx, step % 2 === 0 ? 13 : -13], { animate: false })));
	}
	for (let step = 0; step < steps; step++) {
		whole.push(await timed(() => map.setView(centre, zoom + (step % 2 === 0 ? 0.25 : 0), { animate: false })));
	}
	end();
	return { pan: median(pan), whole: median(whole) };
}

/** From the move until the last pixel of every canvas is painted: reading one back makes the browser paint them at once. */
async function timed(move: () => void): Promise<number> {
	await frame();
	const start = performance.now();
	move();
	for (const canvas of host.querySelectorAll('canvas')) canvas.getContext('2d')?.getImageData(0, 0, 1, 1);
	return performance.now() - start;
}

function drawOurs(boundaries: ReturnType<typeof inventedFields>, way: Way): () => void {
	const looks: Look[] =
		way === 'by crop'
			? [...looksFor(Array.from({ length: CROPS }, (_, crop) => `crop ${crop}`)).values()]
			: Object.values(differenceLooks).map(({ look }) => look);
	const fields = boundaries.map((geometry, index): MapField => {
		const shade = looks[(index * 7) % looks.length] ?? 'plain';
		return { id: String(index), name: `Field ${index}`, geometry, shade };
	});
	const leftOut = inventedLeftOut(boundaries).map(
		({ field, kind, geometry }, index): MapField => ({
			id: `${kind} ${index}`,
			name: kind,
			geometry,
			shade: leftOutLooks[kind].look,
			partOf: String(field),
		}),
	);
	const root = createRoot(host);
	const map = createElement(FieldMap, { fields: [...fields, ...leftOut], height: 600, label: 'Map' });
	root.render(createElement(MantineProvider, null, map));
	return () => root.unmount();
}

function drawBare(boundaries: readonly MapField['geometry'][]): () => void {
	const renderer = L.canvas({ padding: 0.3 });
	const map = L.map(host, { renderer, zoomSnap: 0.25, zoomAnimation: false, fadeAnimation: false });
	map.setView([51.1, 8.2], 10);
	const group = L.featureGroup(
		boundaries.map((geometry) => {
			const [ring = []] = geometry.coordinates as number[][][];
			const points = ring.map(([lon = 0, lat = 0]): [number, number] => [lat, lon]);
			return L.polygon(points, { renderer, color: '#8a5a2b', weight: 1.5, fillOpacity: 0.3 });
		}),
	).addTo(map);
	map.fitBounds(group.getBounds(), { padding: [22, 22], animate: false });
	return () => {
		map.remove();
	};
}

function frame(): Promise<void> {
	return new Promise((done) => {
		requestAnimationFrame(() => setTimeout(done));
	});
}

function median(values: readonly number[]): number {
	const sorted = values.toSorted((a, b) => a - b);
	return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

Object.assign(window, { times });
