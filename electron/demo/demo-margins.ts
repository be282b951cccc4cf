import type { MarginOnField } from '../../shared/contract/jobs-margins.ts';

type DemoGround = { readonly id: string; readonly ditchM: number | null };

/**
 * What the operator found at the margins: the strip along a ditch is left whole, and one field in four has a ditch at the road
 * that was dry, where less was kept after a look. Nobody should read a distance for wet ditches out of an invented farm.
 */
export function demoMargins(fields: readonly DemoGround[]): MarginOnField[] {
	const pressure = { pressureFromBar: 2, pressureToBar: 3 };
	return fields.map(({ id: fieldId, ditchM }, index) => {
		const wet = {
			margin: 'ditch along the strip',
			water: 'wet',
			width: 'under 3 m',
			driftReduction: 50,
			...pressure,
		} as const;
		if (ditchM !== null) return { fieldId, ...wet, keptM: ditchM };
		if (index % 4 !== 0) return { fieldId, margin: 'all round', water: 'none' };
		return { fieldId, margin: 'ditch at the road', water: 'dry', driftReduction: 50, ...pressure, keptM: 2 };
	});
}
