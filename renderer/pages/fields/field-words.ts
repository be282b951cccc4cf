import { figure } from '../../format.ts';

export const basisWords = {
	boundary: 'measured boundary less strips and obstacles',
	mapped: 'mapped area',
	typed: 'figure typed from the receiver',
	sprayed: 'area the sprayer reported',
} as const;

export const areaUnits = [
	{ value: 'ha', label: 'ha', detail: 'hectares' },
	{ value: 'm2', label: 'm²', detail: 'square metres' },
	{ value: 'ac', label: 'acres', detail: 'of 4,046.86 m²' },
	{ value: 'acUS', label: 'US acres', detail: 'by the survey foot, 4 millionths larger' },
	{ value: 'ft2', label: 'ft²', detail: 'square feet' },
	{ value: 'ftUS2', label: 'US ft²', detail: 'by the survey foot' },
	{ value: 'km2', label: 'km²', detail: 'square kilometres' },
] as const;

/** The difference of the two areas as a strip all round: `1.9 m wider all round`. */
export function strip(edgeStripM: number | null): string {
	if (edgeStripM === null) return '–';
	if (Math.abs(edgeStripM) < 0.05) return 'agree';
	return `${figure(Math.abs(edgeStripM), 1)} m ${edgeStripM > 0 ? 'larger' : 'smaller'}`;
}
