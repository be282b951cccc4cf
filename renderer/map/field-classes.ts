import type { FieldRow } from '../../shared/contract/fields.ts';
import { count } from '../format.ts';
import { type Units, unitsIn } from '../units.ts';
import { type Look, lookOf, looksFor } from './looks.tsx';

/** What the fields of a map are told apart by. */
export type Colouring = 'crop' | 'difference';
/** Fields that look alike, and what the legend says of them. */
export type FieldClass = { readonly key: string; readonly shade: Look; readonly text: string };

/** The classes there are, each with its look and how many fields it has. */
export function classesOf(rows: readonly FieldRow[], by: Colouring, units: Units = unitsIn.metric): FieldClass[] {
	return by === 'crop' ? cropLegend(rows, units) : differenceLegend(rows, units);
}

/** The class a field is in. */
export function classKey(row: FieldRow, by: Colouring): string {
	return by === 'crop' ? (row.crop ?? NO_CROP) : differenceClass(row);
}

const NO_CROP = '';

function cropLegend(rows: readonly FieldRow[], units: Units): FieldClass[] {
	const crops = cropsOf(rows);
	const looks = looksFor(crops.map(({ crop }) => crop));
	const named = crops.map(
		({ crop, fields, areaHa }): FieldClass => ({
			key: crop,
			shade: looks.get(crop) ?? lookOf('plain'),
			text: `${crop}: ${count(fields, 'field')}, ${units.area(areaHa)}`,
		}),
	);
	const bare = rows.filter((row) => row.crop === undefined).length;
	return bare === 0
		? named
		: [...named, { key: NO_CROP, shade: lookOf('quiet'), text: `no crop noted: ${count(bare, 'field')}` }];
}

function differenceLegend(rows: readonly FieldRow[], { say }: Units): FieldClass[] {
	const there = Map.groupBy(rows, differenceClass);
	return Object.entries(differenceLooks).flatMap(([key, { look, text }]) => {
		const fields = there.get(key as keyof typeof differenceLooks)?.length ?? 0;
		return fields === 0 ? [] : [{ key, shade: look, text: `${say(text)}: ${count(fields, 'field')}` }];
	});
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
