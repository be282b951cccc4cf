import { isWideFromWater } from '../../shared/core/limits/margin-kept.ts';
import { useProcedure } from '../use-procedure.ts';

/** Whether the label of one of these products asks for so wide a distance to water that the equipment near the bank counts. */
export function useAsksWithin30M(productIds: readonly string[]): boolean {
	const products = useProcedure(['products'], (api) => api.products.list({})).answer ?? [];
	return products.some(({ id, limits }) => productIds.includes(id) && limits.some(isWideFromWater));
}
