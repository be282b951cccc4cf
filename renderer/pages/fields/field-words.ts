import type { FieldRow } from '../../../shared/contract/fields.ts';
import { figure } from '../../format.ts';
import type { Look } from '../../map/looks.tsx';

export const basisWords = {
	boundary: 'measured boundary less strips and obstacles',
	mapped: 'mapped area',
	typed: 'figure typed from the receiver',
	sprayed: 'area the sprayer reported',
} as const;

export const areaUnits = [
	{ value: 'ha', label: 'ha · hectares' },
	{ value: 'm2', label: 'm² · square metres' },
	{ value: 'ac', label: 'ac · acres' },
	{ value: 'acUS', label: 'ac · US survey acres' },
	{ value: 'ft2', label: 'ft² · square feet' },
	{ value: 'ftUS2', label: 'ft² · US survey square feet' },
	{ value: 'km2', label: 'km² · square kilometres' },
] as const;

/** The difference of the two areas as a strip all round: `1.9 m wider all round`. */
export function strip(edgeStripM: number | null): string {
	if (edgeStripM === null) return '–';
	if (Math.abs(edgeStripM) < 0.05) return 'agree';
	return `${figure(Math.abs(edgeStripM), 1)} m ${edgeStripM > 0 ? 'larger' : 'smaller'}`;
}

/** Below half a metre all round the two areas are as good as one. */
const AGREE_M = 0.5;

/** Larger and smaller are told apart by colour and by the way the lines run; beyond tolerance the outline is broken. */
export const differenceLooks = {
	larger: {
		look: { colour: 'water', fill: 0.35, pattern: 'rise', dash: '6 3' },
		text: 'measured larger, beyond tolerance',
	},
	'bit larger': { look: { colour: 'water', fill: 0.22 }, text: 'measured larger by 0.5 m all round or more' },
	agree: { look: { colour: 'quiet', fill: 0.1 }, text: 'areas agree' },
	'bit smaller': { look: { colour: 'straw', fill: 0.28 }, text: 'measured smaller by 0.5 m all round or more' },
	smaller: {
		look: { colour: 'brick', fill: 0.35, pattern: 'fall', dash: '6 3' },
		text: 'measured smaller, beyond tolerance',
	},
	unknown: { look: { colour: 'quiet', fill: 0, dash: '2 4' }, text: 'no mapped area to compare' },
} as const satisfies Record<string, { readonly look: Look; readonly text: string }>;

/** Which of the looks a field has, by its difference. */
export function differenceClass(field: FieldRow): keyof typeof differenceLooks {
	const { edgeStripM, withinTolerance } = field;
	if (edgeStripM === null) return 'unknown';
	if (withinTolerance === false) return edgeStripM > 0 ? 'larger' : 'smaller';
	if (Math.abs(edgeStripM) < AGREE_M) return 'agree';
	return edgeStripM > 0 ? 'bit larger' : 'bit smaller';
}

/** Crops of the season with their fields, the one with most ground first. */
export function cropsOf(rows: readonly FieldRow[]): { crop: string; fields: number; areaHa: number }[] {
	const byCrop = Map.groupBy(
		rows.filter((row) => row.crop !== undefined),
		(row) => row.crop ?? '',
	);
	return [...byCrop]
		.map(([crop, grown]) => ({
			crop,
			fields: grown.length,
			areaHa: grown.reduce((sum, row) => sum + (row.loadForHa ?? 0), 0),
		}))
		.sort((one, other) => other.areaHa - one.areaHa || one.crop.localeCompare(other.crop));
}

/** How a field is shown on the map: where its two areas part, or one is missing. */
export function shadeOf(field: FieldRow): 'plain' | 'look' | 'quiet' {
	if (field.loadForHa === null) return 'quiet';
	return field.withinTolerance === false ? 'look' : 'plain';
}
