import { figure } from '../../shared/core/limits/limit.ts';
import type { PlanWarning } from '../../shared/core/loads/loads-request.ts';
import { formulationOf } from '../../shared/core/products/formulation.ts';

type Bagged = {
	readonly name: string;
	readonly formulation: string;
	readonly unit: string;
	readonly waterSolubleBag: boolean;
};
type Loads = readonly { readonly products: readonly { readonly measured: number }[] }[];

/** A water-soluble bag goes in whole: what a load would need out of one cannot be measured. */
export function bagWarnings(products: readonly { readonly product: Bagged }[], loads: Loads): PlanWarning[] {
	return products.flatMap(({ product }, position) => {
		const { name, unit } = product;
		if (!product.waterSolubleBag && formulationOf(product.formulation)?.waterSolubleBag !== true) return [];
		const parts = loads.flatMap(({ products: lines }, index) => {
			const measured = lines[position]?.measured ?? 0;
			return measured > 0 ? [`${figure(measured)} ${unit} in load ${index + 1}`] : [];
		});
		if (parts.length === 0) return [];
		const message = `${name} comes in water-soluble bags, which are not opened: ${parts.join(', ')} could not be measured. Choose ground, dose or another way of splitting so that whole bags go in.`;
		return [{ code: 'product.openedBag', message, record: name }];
	});
}
