import type { PassStored } from '../../db/modules/records.ts';
import { toHectares } from '../../shared/units/area.ts';

/** Ground that some passes cover. */
export type Ground = {
	/** Each pass counts. */
	readonly treatedHa: number;
	/** Each hectare once: the largest pass over each field. */
	readonly basicHa: number;
	/** One pass is one job on one field, whatever its products and loads. */
	readonly passes: number;
};

/** Area of a pass: what its loads covered, of the product that covered most. Treated seed is no ground. */
export function groundOf(all: readonly Pick<PassStored, 'fieldId' | 'jobId' | 'productId' | 'treatedM2'>[]): Ground {
	const lines = all.filter(({ fieldId }) => fieldId !== null);
	const largest = new Map<string, number>();
	let treated = 0;
	const passes = Map.groupBy(lines, ({ fieldId, jobId }) => `${fieldId} ${jobId}`);
	for (const pass of passes.values()) {
		const byProduct = Map.groupBy(pass, ({ productId }) => productId).values();
		const areas = [...byProduct].map((own) => own.reduce((sum, { treatedM2 }) => sum + treatedM2, 0));
		const area = Math.max(...areas);
		const fieldId = pass[0]?.fieldId ?? '';
		treated += area;
		largest.set(fieldId, Math.max(largest.get(fieldId) ?? 0, area));
	}
	const basic = [...largest.values()].reduce((sum, area) => sum + area, 0);
	return { treatedHa: toHectares(treated), basicHa: toHectares(basic), passes: passes.size };
}
