import { useMantineColorScheme } from '@mantine/core';
import type { MultiPolygon, Polygon } from 'geojson';
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { useEffect, useRef, useState } from 'react';
import { type CanvasColours, canvasColours } from './canvas-colours.ts';
import { type LineLengths, type LineTool, lineTool } from './line-tool.ts';
import { canvasPattern, type Look, lookOf } from './looks.tsx';
import './map.css';
import type { MapField } from './map-field.ts';
import { type LegendEntry, MapLegend } from './map-legend.tsx';
import { MeasureLine } from './measure-line.tsx';
import { NorthMark } from './north-mark.tsx';

export type FieldMapProps = {
	readonly fields: readonly MapField[];
	readonly height: number | string;
	/** Names the map for a screen reader; the list beside it carries the same fields. */
	readonly label: string;
	readonly selected?: string | null | undefined;
	readonly pointed?: string | null | undefined;
	readonly onSelect?: ((id: string) => void) | undefined;
	readonly onPoint?: ((id: string | null) => void) | undefined;
	readonly legend?: readonly LegendEntry[];
	/** Offers to measure a line. */
	readonly measures?: boolean;
	/** Moves to the selected field when it lies outside the view. */
	readonly follow?: boolean;
};

/** Fields on a plain sheet: no background pictures are fetched. Ten thousand stay smooth, as all are drawn on one canvas. */
export function FieldMap(props: FieldMapProps) {
	const host = useRef<HTMLDivElement>(null);
	const drawing = useRef<Drawing | null>(null);
	const latest = useRef(props);
	latest.current = props;
	const { colorScheme } = useMantineColorScheme();
	const [lengths, setLengths] = useState<LineLengths | null>(null);

	useEffect(() => {
		if (!host.current) return;
		const made = startDrawing(host.current, latest, setLengths);
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
			{props.measures && (
				<MeasureLine
					lengths={lengths}
					line={() => drawing.current?.line}
					centre={() => drawing.current?.map.getCenter()}
				/>
			)}
			{props.legend && <MapLegend entries={props.legend} />}
		</section>
	);
}

type Shape = { readonly layer: L.Polygon; readonly field: MapField };
type Drawing = {
	readonly map: L.Map;
	readonly line: LineTool;
	readonly show: (fields: readonly MapField[]) => void;
	readonly mark: (selected: string | null, pointed: string | null) => void;
	readonly goTo: (id: string) => void;
};

function startDrawing(
	host: HTMLElement,
	props: { readonly current: FieldMapProps },
	says: (lengths: LineLengths | null) => void,
): Drawing {
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
	const line = lineTool(map, () => colours, says);
	map.on('click', ({ latlng }) => line.add(latlng));

	function restyle(id: string): void {
		const shape = shapes.get(id);
		if (!shape) return;
		shape.layer.setStyle(styleOf(shape.field, colours, id === marked[0], id === marked[1]));
		if (id === marked[0]) shape.layer.bringToFront();
	}

	function add(field: MapField): void {
		const layer = L.polygon(latLngs(field.geometry), { ...styleOf(field, colours, false, false), renderer });
		layer.on('click', () => {
			if (!line.running()) props.current.onSelect?.(field.id);
		});
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
		line,
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
	const look = lookOf(field.shade);
	const colour = colours[look.colour];
	const pattern = selected || pointed ? null : patternOf(look, colour);
	return {
		color: selected ? colours.ink : colour,
		weight: selected ? 3.5 : pointed ? 3 : 1.5,
		dashArray: look.dash && !selected ? look.dash : '',
		// A canvas fills with a pattern as with a colour; the map's types know only of colours.
		fillColor: pattern ? (pattern as unknown as string) : colour,
		fillOpacity: pattern ? 1 : selected ? look.fill + 0.25 : pointed ? look.fill + 0.15 : look.fill,
	};
}

const patterns = new Map<string, CanvasPattern | null>();

/** One pattern for all fields of a look: ten thousand share a few tiles. */
function patternOf(look: Look, colour: string): CanvasPattern | null {
	const key = `${look.pattern} ${look.fill} ${colour}`;
	const known = patterns.get(key);
	if (known !== undefined) return known;
	const made = canvasPattern(look, colour);
	patterns.set(key, made);
	return made;
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
