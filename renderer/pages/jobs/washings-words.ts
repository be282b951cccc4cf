import type { WashingsRoom } from '../../../shared/contract/jobs-end.ts';
import type { Units } from '../../units.ts';

const limitWords: Readonly<Record<string, string>> = {
	singleDose: 'single dose',
	totalDose: 'total dose',
	activeSubstance: 'active substance',
	nutrient: 'limit of the field',
};

/** `at least 0.40 ha (Copper, single dose)`, or why there is no room. `groundHa`: what was or will be sprayed there. */
export function roomWords(
	{ leastHa, limitedBy, unknown, notForCrop }: WashingsRoom,
	groundHa: number,
	farmUnits: Units,
): string {
	if (notForCrop.length > 0) return `${notForCrop.join(', ')} not for the crop there`;
	const by = limitedBy === null ? '' : ` (${limitedBy.product}, ${limitWords[limitedBy.kind] ?? limitedBy.kind})`;
	const open = unknown.length > 0 ? `no maximum on the books for ${unknown.join(', ')}: see the label` : '';
	if (leastHa === null) return `no dose to spare${by}`;
	if (limitedBy === null) return open === '' ? 'room on any ground there' : open;
	const least = `at least ${farmUnits.area(roundedUp(leastHa))}${by}`;
	const small = leastHa > groundHa ? `, more than the ${farmUnits.area(groundHa)} there` : '';
	return `${least}${small}${open === '' ? '' : `; ${open}`}`;
}

/** Ground that is just enough, to the are: rounded down it would be too little. */
export function roundedUp(areaHa: number): number {
	return Math.ceil(areaHa * 100 - 1e-9) / 100;
}
