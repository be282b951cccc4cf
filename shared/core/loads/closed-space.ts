import { type DoseUnit, type DoseWay, doseUnitsOf } from './dose-units.ts';

/** Kinds of closed space a plant protection product is used in, as the trade names them: common practice. */
export const spaceKinds = [
	'grain store',
	'silo or bin',
	'potato store',
	'fruit or vegetable store',
	'glasshouse',
	'mushroom house',
	'warehouse',
	'other closed space',
] as const;
export type SpaceKind = (typeof spaceKinds)[number];

/** What a dose in a closed space is for: its air, a surface (floor, or walls and floor), or the crop stored in it. */
export const spaceUnits = ['m³', 'm²', 't'] as const;
export type SpaceUnit = (typeof spaceUnits)[number];

/**
 * How doses to each are kept. A dose to stored crop is one to 100 kg of it, as on seed; labels write it per tonne.
 * `per`: how much of the space in its own unit one dose is for. Source: label doses for fogs (mL or g per m³ or 1000 m³),
 * surfaces (mL or g per m² or 100 m²) and grain (mL, L, g or kg per t), common practice.
 */
export const spaceDoses: Readonly<
	Record<
		SpaceUnit,
		{ readonly way: DoseWay; readonly per: number; readonly plain: Readonly<Record<'L' | 'kg', DoseUnit>> }
	>
> = {
	'm³': { way: 'dosePerM3', per: 1, plain: { L: 'mL/m³', kg: 'g/m³' } },
	'm²': { way: 'dosePerM2', per: 1, plain: { L: 'mL/m²', kg: 'g/m²' } },
	t: { way: 'dosePer100Kg', per: 0.1, plain: { L: 'mL/t', kg: 'g/t' } },
};

/** The units a dose in a closed space may be written in. */
export const spaceDoseUnits = spaceUnits.flatMap((of) =>
	(['L', 'kg'] as const).flatMap((unit) => spaceDoseUnitsOf(unit, of)),
) as readonly DoseUnit[] as readonly [DoseUnit, ...DoseUnit[]];

/** Those of a product sold by the litre or by the kilogram, the usual one first; a dose to seed is not one to a store. */
export function spaceDoseUnitsOf(unit: 'L' | 'kg', of: SpaceUnit): readonly DoseUnit[] {
	const { way, plain } = spaceDoses[of];
	const fitting = doseUnitsOf(unit, way).filter((each) => of !== 't' || each.endsWith('/t'));
	return [plain[unit], ...fitting.filter((each) => each !== plain[unit])];
}

/** What a closed space holds when nothing is stored or grown in it, as its records name it. */
export function emptySpace(kind: SpaceKind): string {
	return `empty ${kind}`;
}
