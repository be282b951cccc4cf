import { useId } from 'react';
import { type Look, LookSample, lookOf } from './looks.tsx';
import type { Shade } from './map-field.ts';

export type LegendEntry = { readonly shade: Shade | Look; readonly text: string };

/** What each look says, as lines under the map. */
export function MapLegend({ entries }: { readonly entries: readonly LegendEntry[] }) {
	const id = useId();
	if (entries.length === 0) return null;
	return (
		<ul className="map-legend">
			{entries.map(({ shade, text }, index) => (
				<li key={text}>
					<LookSample look={lookOf(shade)} id={`${id}-${index}`} />
					{text}
				</li>
			))}
		</ul>
	);
}
