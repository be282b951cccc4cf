import type { z } from 'zod';
import type { ProductInput } from '../../shared/contract/products.ts';

export type Sprayed = z.input<typeof ProductInput> & { readonly dose: number };

const substances = ['alpha', 'beta', 'gamma', 'delta', 'epsilon', 'zeta'] as const;
const groups = ['HRAC 2', 'FRAC 3', 'IRAC 3A', 'FRAC 11'] as const;

/** Fifteen invented products for big books, with the usual limits; some share a substance, some go over a limit. */
export const bigBookProducts: readonly Sprayed[] = Array.from({ length: 15 }, (_, index): Sprayed => {
	const dry = index % 5 === 4;
	const unit = dry ? 'kg' : 'L';
	const dose = 0.4 + (index % 6) * 0.2;
	const substance = substances[index % substances.length] ?? 'alpha';
	return {
		name: `Product ${String.fromCharCode(65 + index)}`,
		formulation: dry ? 'WG' : 'SC',
		unit,
		packSizes: [5],
		authorisationNo: `N ${index + 1}`,
		authorisationEnds: '2040-12-31',
		relativeDensity: dry ? undefined : 1.1,
		actives: [
			{ substance, content: 250, contentUnit: dry ? 'g/kg' : 'g/L', modeOfAction: groups[index % groups.length] },
		],
		nutrients: index % 5 === 2 ? [{ nutrient: 'N', content: 20, contentUnit: '% w/w' }] : [],
		limits: [
			{ kind: 'crop', crops: ['TRZAW', 'HORVW'] },
			{ kind: 'singleDose', max: index === 3 ? dose * 0.9 : dose * 1.2 },
			{ kind: 'totalDose', max: dose * 4.5, per: 'crop' },
			{ kind: 'treatments', max: 4, per: 'crop' },
			{ kind: 'interval', min: 10 },
			{ kind: 'harvestInterval', min: 35 },
			...(index % 5 === 0
				? [{ kind: 'activeSubstance' as const, substance, max: 28_000, per: 'years' as const, years: 7 }]
				: []),
		],
		dose,
	};
});
