import type { LimitKind } from '../../shared/core/limits/limit.ts';

/** The kinds of limits as the review of a season names them. */
export const limitNames: Readonly<Record<LimitKind, string>> = {
	crop: 'crop allowed',
	singleDose: 'single dose',
	totalDose: 'total dose',
	treatments: 'number of treatments',
	interval: 'days between treatments',
	stage: 'growth stage',
	timeOfDay: 'time of day',
	flowering: 'in flower',
	harvestInterval: 'harvest interval',
	sprayVolume: 'spray volume',
	buffer: 'buffer',
	site: 'condition of the ground',
	reentry: 're-entry',
	livestock: 'livestock',
	authorisation: 'authorised dates',
	activeSubstance: 'active substance in all',
	modeOfAction: 'mode-of-action group',
	mixPartner: 'mix partner',
	followingCrop: 'next crop',
	nutrient: 'nutrient of the field',
};
