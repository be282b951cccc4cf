import { Button } from '@mantine/core';
import type L from 'leaflet';
import { useEffect } from 'react';
import { useUnits } from '../units.ts';
import type { LineLengths, LineTool } from './line-tool.ts';

/** The button that begins a line, and its lengths while it is measured. Points are pressed, or set at the cross by key. */
export function MeasureLine(props: {
	readonly lengths: LineLengths | null;
	readonly line: () => LineTool | undefined;
	readonly centre: () => L.LatLng | undefined;
}) {
	const { figure, name } = useUnits();
	const { lengths, line, centre } = props;
	const running = lengths !== null;

	useEffect(() => {
		if (!running) return;
		const end = (event: KeyboardEvent) => {
			if (event.key === 'Escape') line()?.end();
		};
		window.addEventListener('keydown', end);
		return () => window.removeEventListener('keydown', end);
	}, [running, line]);

	if (!lengths) {
		return (
			<button className="map-tool screen-only" type="button" onClick={() => line()?.begin()}>
				<svg width="20" height="20" viewBox="0 0 20 20" aria-hidden="true">
					<path
						d="M2 15L15 2L18 5L5 18ZM6 11l2 2M9 8l1.5 1.5M12 5l2 2"
						fill="none"
						stroke="currentColor"
						strokeWidth="1.6"
					/>
				</svg>
				<span className="visually-hidden">Measure a line</span>
			</button>
		);
	}
	return (
		<>
			<Cross />
			<section className="map-line screen-only" aria-label="Measured line">
				<p aria-live="polite">
					{lengths.points < 2 ? (
						'Press two points or more.'
					) : (
						<>
							<b>
								{figure(lengths.totalM, 'm', 1)} {name('m')}
							</b>
							{lengths.points > 2 && ` · last leg ${figure(lengths.lastM, 'm', 1)} ${name('m')}`}
						</>
					)}
				</p>
				<Button
					size="xs"
					variant="default"
					onClick={() => {
						const at = centre();
						if (at) line()?.add(at);
					}}
				>
					Point at the cross
				</Button>
				<Button size="xs" variant="default" disabled={lengths.points === 0} onClick={() => line()?.takeBack()}>
					Take back
				</Button>
				<Button size="xs" onClick={() => line()?.end()}>
					Done
				</Button>
			</section>
		</>
	);
}

/** The middle of the map, for points set without a pointer: the map is moved by its arrow keys. */
export function Cross() {
	return (
		<svg className="map-cross" width="34" height="34" viewBox="0 0 34 34" aria-hidden="true">
			<path d="M17 3v11M17 20v11M3 17h11M20 17h11" stroke="var(--sheet)" strokeWidth="5" />
			<path d="M17 3v11M17 20v11M3 17h11M20 17h11" stroke="var(--ink)" strokeWidth="2" />
		</svg>
	);
}
