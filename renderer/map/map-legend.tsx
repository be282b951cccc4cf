import { useId } from 'react';
import { type Look, LookSample, lookOf } from './looks.tsx';
import type { Shade } from './map-field.ts';

export type LegendEntry = { readonly shade: Shade | Look; readonly text: string };

/** What each look says; over a corner of the map, or as a line under it. */
export function MapLegend({ entries, under }: { readonly entries: readonly LegendEntry[]; readonly under?: boolean }) {
	const id = useId();
	if (entries.length === 0) return null;
	return (
		<ul className={under ? 'map-legend under' : 'map-legend'}>
			{entries.map(({ shade, text }, index) => (
				<li key={text}>
					<LookSample look={lookOf(shade)} id={`${id}-${index}`} />
					{text}
				</li>
			))}
		</ul>
	);
}
