import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Recommendation } from '../../../shared/contract/recommendations.ts';
import { figure, shortDate } from '../../format.ts';
import type { PlanDraft } from '../jobs/plan-draft.ts';

/** `C. Reed, ADV-118, 10 Apr 2026, no. 26/41` */
export function whoseWords({ adviser, certificateNo, givenOn, reference }: Recommendation): string {
	return [adviser, certificateNo, shortDate(givenOn), reference && `no. ${reference}`]
		.filter((part) => part !== null && part !== '')
		.join(', ');
}

/** `Suspension 1.2 L/ha, Granule 0.25 kg/ha in 150 L/ha` */
export function mixWords({ products, sprayVolumeLPerHa }: Recommendation): string {
	const mix = products.map(({ name, dosePerHa, unit }) => `${name} ${Number(dosePerHa.toFixed(4))} ${unit}/ha`);
	return mix.join(', ') + (sprayVolumeLPerHa === null ? '' : ` in ${figure(sprayVolumeLPerHa)} L/ha`);
}

/** The ground it is for. */
export function groundWords({ fields, crop }: Recommendation): string {
	if (fields.length === 0) return `all ${crop}`;
	const names = fields.map(({ name }) => name).join(', ');
	return crop ? `${crop}: ${names}` : names;
}

export type RecommendedPlan = Pick<PlanDraft, 'recommendationId' | 'fields' | 'products'> &
	Partial<Pick<PlanDraft, 'sprayVolumeLPerHa' | 'growthStage' | 'reason'>>;

/** The part of a plan that a recommendation fills in: what it does not say stays as it is. */
export function planFrom(recommendation: Recommendation, rows: readonly FieldRow[]): RecommendedPlan {
	const { id, fields, crop, products, sprayVolumeLPerHa, growthStage, reason } = recommendation;
	const named = new Set(fields.map(({ fieldId }) => fieldId));
	const ground = rows.filter((row) =>
		named.size > 0 ? named.has(row.id) : row.crop?.toLowerCase() === crop?.toLowerCase(),
	);
	return {
		recommendationId: id,
		fields: ground.map((row) => ({ fieldId: row.id, areaHa: 'register' as const })),
		products: products.map(({ productId, dosePerHa, unit }) => ({
			productId,
			dose: dosePerHa,
			unit: `${unit}/ha` as const,
		})),
		...(sprayVolumeLPerHa === null ? {} : { sprayVolumeLPerHa }),
		...(growthStage === null ? {} : { growthStage }),
		...(reason === null ? {} : { reason }),
	};
}
