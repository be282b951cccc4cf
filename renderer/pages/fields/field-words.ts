import { figure } from '../../format.ts';

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
