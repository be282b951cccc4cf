import { ENGLISH_MAXIMA_SOURCE } from '../../shared/core/limits/nitrogen-figures.ts';

type Need = (name: string, input: object) => Promise<unknown>;
type Fields = ReadonlyMap<string, { readonly id: string }>;

/** The farm's own ceilings for nitrogen, by crop. Wheat has the published mean of its country, which warns; the others are invented. */
const NITROGEN = [
	{ crop: 'TRZAW', maxKgPerHa: 220, warnsOnly: true, source: ENGLISH_MAXIMA_SOURCE },
	{ crop: 'HORVW', maxKgPerHa: 170, warnsOnly: false, source: 'our nutrient plan' },
	{ crop: 'BRSNW', maxKgPerHa: 210, warnsOnly: false, source: 'our nutrient plan' },
];

export async function limitNitrogen(need: Need, fields: Fields): Promise<void> {
	const fieldIds = [...fields.values()].map(({ id }) => id);
	for (const limit of NITROGEN) {
		await need('limits.setNutrient', { key: `demo-nitrogen-${limit.crop}`, fieldIds, nutrient: 'N', ...limit });
	}
}

const DRAINED = ['Brook Meadow', 'Osier Carr', 'Lower Drift', 'Pond Field'];
/** Nobody has looked at the drain plan of these yet: a label that asks is answered there. */
const DRAINS_NOT_KNOWN = ['Gull Field', 'Kiln Close', 'Home Ground'];

export async function answerDrains(need: Need, fields: Fields): Promise<void> {
	const known = [...fields].filter(([name]) => !DRAINS_NOT_KNOWN.includes(name));
	await need('limits.answerCondition', {
		key: 'demo-drains',
		condition: 'drained land',
		fields: known.map(([name, { id }]) => ({ fieldId: id, holds: DRAINED.includes(name) })),
	});
}
