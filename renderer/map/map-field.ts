import type { MultiPolygon, Polygon } from 'geojson';
import type { Look } from './looks.tsx';

/** What a field's colour says; each has its own line in the legend, and a dash where colour alone would not do. */
export type Shade = 'plain' | 'quiet' | 'look' | 'stop' | 'new' | 'changed';

export type MapField = {
	readonly id: string;
	readonly name: string;
	/** One line under the name when pointed at, such as its area. */
	readonly says?: string;
	readonly geometry: Polygon | MultiPolygon;
	readonly shade?: Shade | Look;
	/** The field this ground is a part of: it is drawn without its name and only where it is large enough to be seen. */
	readonly partOf?: string;
};
