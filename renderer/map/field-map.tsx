import { useMantineColorScheme } from '@mantine/core';
import type { MultiPolygon, Polygon } from 'geojson';
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { useEffect, useRef } from 'react';
import { type CanvasColours, canvasColours } from './canvas-colours.ts';
import './map.css';
import type { MapField, Shade } from './map-field.ts';

export type FieldMapProps = {
	readonly fields: readonly MapField[];
	readonly height: number | string;
	/** Names the map for a screen reader; the list beside it carries the same fields. */
	readonly label: string;
	readonly selected?: string | null | undefined;
	readonly pointed?: string | null | undefined;
	readonly onSelect?: ((id: string) => void) | undefined;
	readonly onPoint?: ((id: string | null) => void) | undefined;
	readonly legend?: readonly { readonly shade: Shade; readonly text: string }[];
	/** Moves to the selected field when it lies outside the view. */
	readonly follow?: boolean;
};

const strokes: Record<Shade, { readonly colour: keyof CanvasColours; readonly dash?: string; readonly fill: number }> =
	{
		plain: { colour: 'loam', fill: 0.22 },
		quiet: { colour: 'quiet', fill: 0.1 },
		look: { colour: 'straw', dash: '6 3', fill: 0.32 },
		stop: { colour: 'brick', dash: '2 3', fill: 0.32 },
		new: { colour: 'leaf', fill: 0.3 },
		changed: { colour: 'water', dash: '6 3', fill: 0.3 },
	};

/** Fields on a plain sheet: no background pictures are fetched. Ten thousand stay smooth, as all are drawn on one canvas. */
export function FieldMap(props: FieldMapProps) {
	const host = useRef<HTMLDivElement>(null);
	const drawing = useRef<Drawing | null>(null);
	const latest = useRef(props);
	latest.current = props;
	const { colorScheme } = useMantineColorScheme();

	useEffect(() => {
		if (!host.current) return;
		const made = startDrawing(host.current, latest);
		drawing.current = made;
		const watch = new ResizeObserver(() => made.map.invalidateSize({ pan: false }));
		watch.observe(host.current);
		return () => {
			watch.disconnect();
			made.map.remove();
			drawing.current = null;
		};
	}, []);

	// biome-ignore lint/correctness/useExhaustiveDependencies: a change of colours draws the same fields anew
	useEffect(() => {
		drawing.current?.show(props.fields);
	}, [props.fields, colorScheme]);

	useEffect(() => {
		drawing.current?.mark(props.selected ?? null, props.pointed ?? null);
	}, [props.selected, props.pointed]);

	useEffect(() => {
		if (props.follow && props.selected) drawing.current?.goTo(props.selected);
	}, [props.follow, props.selected]);

	return (
		<section className="field-map" style={{ height: props.height }} aria-label={props.label}>
			<div ref={host} style={{ position: 'absolute', inset: 0 }} />
			<NorthMark />
			{props.legend && props.legend.length > 0 && <Legend entries={props.legend} />}
		</section>
	);
}

type Shape = { readonly layer: L.Polygon; readonly field: MapField };
type Drawing = {
	readonly map: L.Map;
	readonly show: (fields: readonly MapField[]) => void;
	readonly mark: (selected: string | null, pointed: string | null) => void;
	readonly goTo: (id: string) => void;
};

function startDrawing(host: HTMLElement, props: { readonly current: FieldMapProps }): Drawing {
	const renderer = L.canvas({ padding: 0.3, tolerance: 4 });
	const map = L.map(host, {
		renderer,
		preferCanvas: true,
		zoomSnap: 0.25,
		maxZoom: 20,
		minZoom: 3,
		zoomAnimation: false,
		fadeAnimation: false,
	});
	map.attributionControl?.setPrefix(false);
	map.attributionControl?.remove();
	L.control.scale({ imperial: false, maxWidth: 140 }).addTo(map);
	map.setView([52, 0], 6);
	const name = L.tooltip({ className: 'field-name', direction: 'top', offset: [0, -6], opacity: 1 });
	const shapes = new Map<string, Shape>();
	let marked: readonly (string | null)[] = [];
	let colours = canvasColours(host);

	function restyle(id: string): void {
		const shape = shapes.get(id);
		if (!shape) return;
		shape.layer.setStyle(styleOf(shape.field, colours, id === marked[0], id === marked[1]));
		if (id === marked[0]) shape.layer.bringToFront();
	}

	function add(field: MapField): void {
		const layer = L.polygon(latLngs(field.geometry), { ...styleOf(field, colours, false, false), renderer });
		layer.on('click', () => props.current.onSelect?.(field.id));
		layer.on('mouseover', () => {
			name.setContent(nameOf(field)).setLatLng(layer.getBounds().getCenter()).openOn(map);
			props.current.onPoint?.(field.id);
		});
		layer.on('mouseout', () => {
			map.closeTooltip(name);
			props.current.onPoint?.(null);
		});
		layer.addTo(map);
		shapes.set(field.id, { layer, field });
	}

	let outline = '';
	return {
		map,
		show(fields) {
			colours = canvasColours(host);
			for (const { layer } of shapes.values()) layer.remove();
			shapes.clear();
			for (const field of fields) add(field);
			for (const id of marked) if (id) restyle(id);
			const bounds = L.latLngBounds(
				[...shapes.values()]
					.map((shape) => shape.layer.getBounds())
					.flatMap((each) => [each.getSouthWest(), each.getNorthEast()]),
			);
			if (!bounds.isValid() || outline === bounds.toBBoxString()) return;
			outline = bounds.toBBoxString();
			map.fitBounds(bounds, { padding: [22, 22], animate: false });
		},
		mark(selected, pointed) {
			const before = marked;
			marked = [selected, pointed];
			for (const id of new Set([...before, ...marked])) if (id) restyle(id);
		},
		goTo(id) {
			const bounds = shapes.get(id)?.layer.getBounds();
			if (bounds && !map.getBounds().pad(-0.05).contains(bounds))
				map.fitBounds(bounds.pad(0.6), { animate: false, maxZoom: 17 });
		},
	};
}

function styleOf(field: MapField, colours: CanvasColours, selected: boolean, pointed: boolean): L.PathOptions {
	const shade = strokes[field.shade ?? 'plain'];
	const colour = colours[shade.colour];
	return {
		color: selected ? colours.ink : colour,
		weight: selected ? 3.5 : pointed ? 3 : 1.5,
		dashArray: shade.dash && !selected ? shade.dash : '',
		fillColor: colour,
		fillOpacity: selected ? shade.fill + 0.25 : pointed ? shade.fill + 0.15 : shade.fill,
	};
}

/** GeoJSON writes longitude first, the map latitude. */
function latLngs(geometry: Polygon | MultiPolygon): L.LatLngExpression[][][] {
	const polygons = geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates;
	return polygons.map((rings) => rings.map((ring) => ring.map(([lon = 0, lat = 0]) => [lat, lon] as [number, number])));
}

/** Built as text nodes: a field's name is whatever a file said, and is never read as markup. */
function nameOf(field: MapField): HTMLElement {
	const box = document.createElement('div');
	const bold = document.createElement('b');
	bold.textContent = field.name;
	box.append(bold);
	if (field.says) box.append(document.createElement('br'), field.says);
	return box;
}

function NorthMark() {
	return (
		<svg className="north" width="26" height="40" viewBox="0 0 26 40" role="img" aria-label="North is up">
			<path d="M13 3L19 24L13 20L7 24Z" fill="var(--ink)" />
			<text x="13" y="38" textAnchor="middle" fontSize="13" fontWeight="700" fill="var(--ink)">
				N
			</text>
		</svg>
	);
}

function Legend({ entries }: { readonly entries: readonly { readonly shade: Shade; readonly text: string }[] }) {
	return (
		<div className="legend">
			<ul>
				{entries.map(({ shade, text }) => (
					<li key={text}>
						<Sample shade={shade} />
						{text}
					</li>
				))}
			</ul>
		</div>
	);
}

function Sample({ shade }: { readonly shade: Shade }) {
	const { colour, dash, fill } = strokes[shade];
	const token = `var(--${colour})`;
	return (
		<svg width="22" height="14" viewBox="0 0 22 14" aria-hidden="true">
			<rect
				x="1"
				y="1"
				width="20"
				height="12"
				fill={token}
				fillOpacity={fill}
				stroke={token}
				strokeWidth="1.6"
				strokeDasharray={dash}
			/>
		</svg>
	);
}
