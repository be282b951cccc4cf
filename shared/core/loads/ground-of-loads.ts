import type { Hectares } from '../../units/quantity.ts';

export type GroundPart = {
	/** Which field, by its place in the list. */
	readonly position: number;
	readonly areaHa: Hectares;
	/** This load brings the field to its end. */
	readonly finishes: boolean;
};

/** Below a tenth of a square metre nothing is left of a field or a load. */
const NOTHING_HA = 1e-5;

/**
 * Where each load goes when the fields are sprayed in their order: a load ends where its area is used up, and the next
 * goes on from there ("load 2 ends 3.4 ha into the third field"). The parts of a load add up to its area, the parts of a
 * field to the field.
 */
export function groundOfLoads(
	loadAreas: readonly Hectares[],
	fieldAreas: readonly Hectares[],
): readonly (readonly GroundPart[])[] {
	let position = 0;
	let leftOfField = fieldAreas[0] ?? 0;
	return loadAreas.map((loadArea, index) => {
		const parts: GroundPart[] = [];
		let leftOfLoad = loadArea;
		const last = index === loadAreas.length - 1;
		while (position < fieldAreas.length && (leftOfLoad > NOTHING_HA || last)) {
			const areaHa = last ? leftOfField : Math.min(leftOfLoad, leftOfField);
			const finishes = last || leftOfField - areaHa <= NOTHING_HA;
			parts.push({ position, areaHa: finishes ? leftOfField : areaHa, finishes });
			leftOfLoad -= areaHa;
			leftOfField -= areaHa;
			if (!finishes) break;
			position += 1;
			leftOfField = fieldAreas[position] ?? 0;
		}
		return parts;
	});
}
