import { useComputedColorScheme } from '@mantine/core';
import L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { type Dispatch, useContext, useEffect, useRef, useState } from 'react';
import { BackgroundContext, layBackground } from './background.ts';
import { BackgroundCredit } from './background-credit.tsx';
import { asGeometry, type MapShape } from './boundary.ts';
import { calmCanvas } from './calm-canvas.ts';
import { canvasColours } from './canvas-colours.ts';
import './map.css';
import { Cross } from './measure-line.tsx';
import { NorthMark } from './north-mark.tsx';
import {
	type At,
	between,
	boundaryOf,
	type Draft,
	type DraftStep,
	type LonLat,
	outlineOf,
	type SnapRing,
	snapped,
} from './outline.ts';

export type BoundaryEditorProps = {
	readonly draft: Draft;
	readonly onStep: Dispatch<DraftStep>;
	/** The shape while a point is being moved; null when it is let go. */
	readonly onMoving: (boundary: ReturnType<typeof boundaryOf>) => void;
	readonly neighbours: readonly MapShape[];
	/** Points take the corners and edges of neighbours when they come near. */
	readonly snap: boolean;
	/** The open line cuts the boundary instead of becoming one. */
	readonly cuts?: boolean;
	/** Parts of the ground, named on the map. */
	readonly parts?: readonly MapShape[];
	readonly height: string;
	/** Gives the page a way to set a point without a pointer. */
	readonly onReady: (centre: () => LonLat) => void;
};

/** Reach of a corner or an edge, in px. */
const REACH = 10;
/** More handles than this at a time cannot be told apart. */
const MOST_HANDLES = 400;
const METRES_PER_DEGREE = 111_320;

/** A boundary drawn and mended on the map: points are pressed, dragged, or walked to and moved by key. */
export function BoundaryEditor(props: BoundaryEditorProps) {
	const host = useRef<HTMLDivElement>(null);
	const sheet = useRef<Sheet | null>(null);
	const latest = useRef(props);
	latest.current = props;
	const colorScheme = useComputedColorScheme('light');
	const background = useContext(BackgroundContext);
	const [reached, setReached] = useState(true);

	useEffect(() => {
		if (!host.current) return;
		const made = startSheet(host.current, latest);
		sheet.current = made;
		latest.current.onReady(() => {
			const { lng, lat } = made.map.getCenter();
			return [lng, lat];
		});
		const watch = new ResizeObserver(() => made.map.invalidateSize({ pan: false }));
		watch.observe(host.current);
		return () => {
			watch.disconnect();
			made.map.remove();
			sheet.current = null;
		};
	}, []);

	useEffect(() => {
		if (background && sheet.current) return layBackground(sheet.current.map, background, setReached);
	}, [background]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: a change of colours draws the same ground anew
	useEffect(() => sheet.current?.surround(), [props.neighbours, colorScheme]);
	// biome-ignore lint/correctness/useExhaustiveDependencies: as above
	useEffect(() => sheet.current?.show(), [props.draft, props.parts, colorScheme]);

	return (
		<section className="field-map" style={{ height: props.height }} aria-label="Map for drawing the boundary">
			<div ref={host} style={{ position: 'absolute', inset: 0 }} />
			<NorthMark />
			<BackgroundCredit background={background} reached={reached} />
			{props.draft.open && <Cross />}
		</section>
	);
}

type Sheet = { readonly map: L.Map; readonly surround: () => void; readonly show: () => void };

function startSheet(host: HTMLElement, props: { readonly current: BoundaryEditorProps }): Sheet {
	const renderer = calmCanvas({ padding: 0.3 });
	const map = L.map(host, {
		renderer,
		preferCanvas: true,
		zoomSnap: 0.25,
		maxZoom: 21,
		minZoom: 3,
		zoomAnimation: false,
		fadeAnimation: false,
		doubleClickZoom: false,
	});
	map.attributionControl?.remove();
	L.control.scale({ imperial: false, maxWidth: 140 }).addTo(map);
	map.setView([52, 0], 6);
	const around = L.layerGroup().addTo(map);
	const ground = L.layerGroup().addTo(map);
	const handles = L.layerGroup().addTo(map);
	let colours = canvasColours(host);
	let near: Near[] = [];
	let placed = false;
	let focused: string | null = null;

	function toPoint(latlng: L.LatLng, free: boolean): LonLat {
		const found = props.current.snap && !free ? snapTo(map, latlng, near) : null;
		return found ?? [latlng.lng, latlng.lat];
	}

	map.on('click', ({ latlng, originalEvent }) => {
		if (props.current.draft.open) props.current.onStep({ do: 'add', point: toPoint(latlng, originalEvent.altKey) });
	});
	map.on('zoomend moveend', () => drawHandles());

	function surround(): void {
		colours = canvasColours(host);
		around.clearLayers();
		near = props.current.neighbours.map(nearOf);
		for (const { shape } of near) {
			const style = {
				renderer,
				interactive: false,
				color: colours.quiet,
				weight: 1.2,
				fillColor: colours.quiet,
				fillOpacity: 0.08,
			};
			L.geoJSON(asGeometry(shape.geometry), { interactive: false, style: () => style }).addTo(around);
			const middle = boxOf(shape).getCenter();
			L.marker(middle, { interactive: false, keyboard: false, icon: nameIcon(shape.name) }).addTo(around);
		}
		place();
	}

	/** Once: on what is drawn already, else on the fields there are with room for one beside them. */
	function place(): void {
		if (placed) return;
		const own = boundaryOf(props.current.draft.outline);
		const box = own ? L.geoJSON(asGeometry(own)).getBounds() : L.latLngBounds([]);
		for (const [lon, lat] of props.current.draft.open ?? []) box.extend([lat, lon]);
		const drawn = box.isValid();
		if (!drawn) for (const { box: each } of near) box.extend(each);
		if (!box.isValid()) return;
		map.fitBounds(box.pad(drawn ? 0.25 : 0.15), { animate: false, maxZoom: 18 });
		placed = true;
	}

	function show(): void {
		colours = canvasColours(host);
		place();
		drawGround(boundaryOf(props.current.draft.outline));
		drawHandles();
	}

	function drawGround(boundary: ReturnType<typeof boundaryOf>): void {
		ground.clearLayers();
		if (boundary) {
			const style = {
				renderer,
				interactive: false,
				color: colours.loam,
				weight: 2.5,
				fillColor: colours.loam,
				fillOpacity: 0.2,
			};
			L.geoJSON(asGeometry(boundary), { interactive: false, style: () => style }).addTo(ground);
		}
		for (const part of props.current.parts ?? []) {
			L.marker(boxOf(part).getCenter(), {
				interactive: false,
				keyboard: false,
				icon: nameIcon(part.name, 'part'),
			}).addTo(ground);
		}
		const { open } = props.current.draft;
		if (open && open.length > 1)
			L.polyline(open.map(latLng), {
				renderer,
				interactive: false,
				color: colours.ink,
				weight: 2.5,
				dashArray: '6 4',
			}).addTo(ground);
	}

	function drawHandles(): void {
		handles.clearLayers();
		const { draft, onStep } = props.current;
		if (draft.open) {
			for (const [index, point] of draft.open.entries()) {
				const first = index === 0 && !props.current.cuts;
				const marker = L.marker(latLng(point), { icon: handleIcon(first ? 'first' : 'point'), keyboard: first });
				if (first) marker.on('click', () => onStep({ do: 'close' }));
				marker.addTo(handles);
				if (first) name(marker, 'First point: press to close the boundary');
			}
			return;
		}
		const view = map.getBounds().pad(0.1);
		const points = placesIn(draft, (point) => view.contains(latLng(point)));
		if (points.length > MOST_HANDLES) return;
		for (const place of points) {
			addHandle(place);
			addMiddle(place);
		}
		if (focused !== null) host.querySelector<HTMLElement>(`[data-point="${focused}"]`)?.focus({ preventScroll: true });
	}

	function addHandle({ at, point, many }: Place): void {
		const key = `${at.part}/${at.ring}/${at.point}`;
		const marker = L.marker(latLng(point), { icon: handleIcon('point'), draggable: true, autoPan: true });
		marker.on('drag', (event) => {
			const to = toPoint(marker.getLatLng(), altOf(event));
			marker.setLatLng(latLng(to));
			const moving = boundaryOf(withPoint(props.current.draft.outline, at, to));
			drawGround(moving);
			props.current.onMoving(moving);
		});
		marker.on('dragend', () => {
			const { lng, lat } = marker.getLatLng();
			focused = key;
			props.current.onMoving(null);
			props.current.onStep({ do: 'move', at, to: [lng, lat] });
		});
		marker.addTo(handles);
		const element = name(
			marker,
			`Point ${at.point + 1} of ${many}. Arrow keys move it, Insert adds one after it, Delete takes it out.`,
		);
		if (!element) return;
		element.dataset['point'] = key;
		element.addEventListener('focus', () => {
			focused = key;
		});
		element.addEventListener('keydown', (event) => byKey(event, { at, point, many }));
	}

	/** A faint handle in the middle of an edge: dragged or pressed it becomes a point. */
	function addMiddle({ at, point, next }: Place): void {
		const middle = between(point, next, 0.5);
		const [a, b] = [map.latLngToContainerPoint(latLng(point)), map.latLngToContainerPoint(latLng(next))];
		if (a.distanceTo(b) < 36) return;
		const marker = L.marker(latLng(middle), { icon: handleIcon('middle'), draggable: true, keyboard: false });
		marker.on('drag', (event) => marker.setLatLng(latLng(toPoint(marker.getLatLng(), altOf(event)))));
		const insert = () => {
			const { lng, lat } = marker.getLatLng();
			props.current.onStep({ do: 'insert', after: at, point: [lng, lat] });
		};
		marker.on('click', insert);
		marker.on('dragend', insert);
		marker.addTo(handles);
	}

	function byKey(event: KeyboardEvent, { at, point, next }: Pick<Place, 'at' | 'point'> & Partial<Place>): void {
		const { onStep } = props.current;
		const metres = event.shiftKey ? 5 : 0.5;
		const [dx, dy] = arrows[event.key] ?? [0, 0];
		if (dx !== 0 || dy !== 0) {
			const lat = point[1] + (dy * metres) / METRES_PER_DEGREE;
			const lon = point[0] + (dx * metres) / (METRES_PER_DEGREE * Math.cos((point[1] * Math.PI) / 180));
			onStep({ do: 'move', at, to: [lon, lat] });
		} else if (event.key === 'Delete' || event.key === 'Backspace') onStep({ do: 'remove', at });
		else if (event.key === 'Insert' || event.key === '+') {
			const to =
				next ??
				props.current.draft.outline[at.part]?.[at.ring]?.[at.point + 1] ??
				props.current.draft.outline[at.part]?.[at.ring]?.[0];
			if (to) onStep({ do: 'insert', after: at, point: between(point, to, 0.5) });
		} else return;
		event.preventDefault();
		event.stopPropagation();
	}

	return { map, surround, show };
}

const arrows: Readonly<Record<string, readonly [number, number]>> = {
	ArrowLeft: [-1, 0],
	ArrowRight: [1, 0],
	ArrowUp: [0, 1],
	ArrowDown: [0, -1],
};

type Place = { readonly at: At; readonly point: LonLat; readonly next: LonLat; readonly many: number };

function placesIn({ outline }: Draft, shown: (point: LonLat) => boolean): Place[] {
	return outline.flatMap((rings, part) =>
		rings.flatMap((points, ring) =>
			points.flatMap((point, index) => {
				const next = points[(index + 1) % points.length] ?? point;
				return shown(point) ? [{ at: { part, ring, point: index }, point, next, many: points.length }] : [];
			}),
		),
	);
}

function withPoint(outline: Draft['outline'], at: At, to: LonLat): Draft['outline'] {
	return outline.map((rings, part) =>
		rings.map((points, ring) => (part === at.part && ring === at.ring ? points.with(at.point, to) : points)),
	);
}

type Near = { readonly shape: MapShape; readonly box: L.LatLngBounds; readonly rings: readonly (readonly LonLat[])[] };

function nearOf(shape: MapShape): Near {
	return { shape, box: boxOf(shape), rings: outlineOf(shape.geometry).flat() };
}

function boxOf({ geometry }: MapShape): L.LatLngBounds {
	return L.latLngBounds(outlineOf(geometry).flat(2).map(latLng));
}

/** Only the fields whose box the pointer is in reach of are looked at. */
function snapTo(map: L.Map, latlng: L.LatLng, near: readonly Near[]): LonLat | null {
	const pixel = map.latLngToContainerPoint(latlng);
	const reach = L.latLngBounds(
		map.containerPointToLatLng([pixel.x - REACH, pixel.y + REACH]),
		map.containerPointToLatLng([pixel.x + REACH, pixel.y - REACH]),
	);
	const rings = near
		.filter(({ box }) => box.intersects(reach))
		.flatMap(({ rings: each }) => each)
		.map((points): SnapRing => ({ points, pixels: points.map((point) => map.latLngToContainerPoint(latLng(point))) }));
	return snapped(pixel, rings, REACH);
}

function latLng([lon, lat]: LonLat): L.LatLng {
	return L.latLng(lat, lon);
}

function altOf(event: L.LeafletEvent): boolean {
	const { originalEvent } = event as L.LeafletEvent & { readonly originalEvent?: MouseEvent };
	return originalEvent?.altKey ?? false;
}

function name(marker: L.Marker, text: string): HTMLElement | null {
	const element = marker.getElement() ?? null;
	element?.setAttribute('aria-label', text);
	return element;
}

function handleIcon(kind: 'point' | 'first' | 'middle'): L.DivIcon {
	const size = kind === 'middle' ? 18 : 24;
	return L.divIcon({ className: `handle ${kind}`, iconSize: [size, size] });
}

function nameIcon(text: string, kind = 'neighbour'): L.DivIcon {
	const label = document.createElement('span');
	label.textContent = text;
	return L.divIcon({ className: kind, html: label, iconSize: [0, 0] });
}
