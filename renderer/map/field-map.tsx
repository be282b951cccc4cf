import { useComputedColorScheme } from '@mantine/core';
import type { MultiPolygon, Polygon } from 'geojson';
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { useContext, useEffect, useRef, useState } from 'react';
import { useUnits } from '../units.ts';
import { BackgroundContext, layBackground } from './background.ts';
import { BackgroundCredit } from './background-credit.tsx';
import { type CanvasColours, canvasColours } from './canvas-colours.ts';
import { type EdgeChoice, type EdgeRun, edgePicks } from './edge-picks.ts';
import { fieldSheet } from './field-sheet.ts';
import { type LineLengths, type LineTool, lineTool } from './line-tool.ts';
import { lookOf } from './looks.tsx';
import './map.css';
import type { MapField } from './map-field.ts';
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
	/** Offers to measure a line. */
	readonly measures?: boolean;
	/** Moves to the selected field when it lies outside the view. */
	readonly follow?: boolean;
	/** Opens on this one of the fields instead of on all. */
	readonly around?: string;
	/** Edges to be picked; fields are not, meanwhile. */
	readonly edges?: EdgeChoice;
};

/** Fields on a plain sheet, or on the farm’s background where one is set. Ten thousand stay smooth: one canvas holds all. */
export function FieldMap(props: FieldMapProps) {
	const host = useRef<HTMLDivElement>(null);
	const drawing = useRef<Drawing | null>(null);
	const latest = useRef(props);
	latest.current = props;
	const colorScheme = useComputedColorScheme('light');
	const [lengths, setLengths] = useState<LineLengths | null>(null);
	const background = useContext(BackgroundContext);
	const [reached, setReached] = useState(true);
	const feet = useUnits().units === 'US customary';

	useEffect(() => {
		if (!host.current) return;
		const made = startDrawing(host.current, latest, { says: setLengths, feet });
		drawing.current = made;
		const watch = new ResizeObserver(() => made.map.invalidateSize({ pan: false }));
		watch.observe(host.current);
		return () => {
			watch.disconnect();
			made.map.remove();
			drawing.current = null;
		};
	}, [feet]);

	useEffect(() => {
		if (background && drawing.current) return layBackground(drawing.current.map, background, setReached);
	}, [background]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: a change of colours draws the same fields anew
	useEffect(() => {
		drawing.current?.show(props.fields);
	}, [props.fields, colorScheme]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: as above
	useEffect(() => {
		drawing.current?.showEdges(props.edges);
	}, [props.edges, colorScheme]);

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
			<BackgroundCredit background={background} reached={reached} />
			{props.measures && (
				<MeasureLine
					lengths={lengths}
					line={() => drawing.current?.line}
					centre={() => drawing.current?.map.getCenter()}
				/>
			)}
		</section>
	);
}

/** The fields come to stand beside the buttons, above the scale and clear of the north mark. */
const BESIDE_THE_TOOLS = { paddingTopLeft: [54, 16], paddingBottomRight: [40, 34] } satisfies L.FitBoundsOptions;

type Drawing = {
	readonly map: L.Map;
	readonly line: LineTool;
	readonly show: (fields: readonly MapField[]) => void;
	readonly showEdges: (edges: EdgeChoice | undefined) => void;
	readonly mark: (selected: string | null, pointed: string | null) => void;
	readonly goTo: (id: string) => void;
};

function startDrawing(
	host: HTMLElement,
	props: { readonly current: FieldMapProps },
	{ says, feet }: { readonly says: (lengths: LineLengths | null) => void; readonly feet: boolean },
): Drawing {
	const map = L.map(host, {
		renderer: L.svg({ padding: 0.3 }),
		zoomSnap: 0.25,
		maxZoom: 20,
		minZoom: 3,
		zoomAnimation: false,
		fadeAnimation: false,
		attributionControl: false,
	});
	L.control.scale({ metric: !feet, imperial: feet, maxWidth: 140 }).addTo(map);
	map.setView([52, 0], 6);
	const name = L.tooltip({ className: 'field-name', direction: 'top', offset: [0, -6], opacity: 1 });
	const sheet = fieldSheet(map);
	const marks = L.layerGroup().addTo(map);
	let fields = new Map<string, MapField>();
	let marked: readonly [selected: string | null, pointed: string | null] = [null, null];
	let under: string | null = null;
	let colours = canvasColours(host);
	const line = lineTool(map, () => colours, says);
	const edges = edgePicks(map, () => colours);
	let edge: EdgeRun | null = null;

	map.on('click', ({ latlng, containerPoint }) => {
		if (line.running()) return line.add(latlng);
		if (props.current.edges) {
			const run = edges.at(containerPoint);
			if (run) props.current.edges.onPress(run.key);
			return;
		}
		const field = sheet.at(containerPoint);
		if (field) props.current.onSelect?.(field.partOf ?? field.id);
	});
	let dragged = false;
	map.on('dragstart', () => {
		dragged = true;
		point(null);
	});
	map.on('dragend', () => {
		dragged = false;
	});
	map.on('mousemove', ({ containerPoint }) => {
		if (props.current.edges) pointEdge(dragged ? null : edges.at(containerPoint));
		else point(dragged ? null : sheet.at(containerPoint));
	});
	map.on('mouseout', () => {
		point(null);
		pointEdge(null);
	});

	function pointEdge(run: EdgeRun | null): void {
		if (edge === run) return;
		edge = run;
		host.style.cursor = run ? 'pointer' : '';
		edges.point(run);
	}

	function point(field: MapField | null): void {
		if (under === (field?.id ?? null)) return;
		under = field?.id ?? null;
		host.style.cursor = field && props.current.onSelect ? 'pointer' : '';
		const middle = field && sheet.boundsOf(field.id)?.getCenter();
		if (field && middle) name.setContent(nameOf(field)).setLatLng(middle).openOn(map);
		else map.closeTooltip(name);
		props.current.onPoint?.(field?.partOf ?? under);
	}

	function drawMarks(): void {
		marks.clearLayers();
		const [selected, pointed] = marked;
		for (const id of new Set([pointed, selected])) {
			const field = id === null ? undefined : fields.get(id);
			if (field) L.polygon(latLngs(field.geometry), markOf(field, colours, id === selected)).addTo(marks);
		}
	}

	let outline = '';
	return {
		map,
		line,
		show(shown) {
			colours = canvasColours(host);
			fields = new Map(shown.map((field) => [field.id, field]));
			sheet.show(shown, colours);
			drawMarks();
			const { around } = props.current;
			const bounds = around === undefined ? sheet.bounds() : (sheet.boundsOf(around)?.pad(0.1) ?? null);
			if (!bounds || outline === bounds.toBBoxString()) return;
			outline = bounds.toBBoxString();
			map.fitBounds(bounds, { ...BESIDE_THE_TOOLS, animate: false });
		},
		showEdges: edges.show,
		mark(selected, pointed) {
			marked = [selected, pointed];
			drawMarks();
		},
		goTo(id) {
			const bounds = sheet.boundsOf(id);
			if (bounds && !map.getBounds().pad(-0.05).contains(bounds))
				map.fitBounds(bounds.pad(0.6), { animate: false, maxZoom: 17 });
		},
	};
}

/** Over the field as it is drawn: a strong outline, and a little more of its colour. */
function markOf(field: MapField, colours: CanvasColours, selected: boolean): L.PolylineOptions {
	const look = lookOf(field.shade);
	return {
		interactive: false,
		color: selected ? colours.ink : colours[look.colour],
		weight: selected ? 3.5 : 3,
		dashArray: look.dash && !selected ? look.dash : '',
		fillColor: colours[look.colour],
		fillOpacity: selected ? 0.25 : 0.15,
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
