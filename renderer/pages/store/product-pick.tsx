import type { Product } from '../../../shared/contract/products.ts';
import { productName } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { useProcedure } from '../../use-procedure.ts';

/** Every product on the books. */
export function useProducts(): readonly Product[] {
	return useProcedure(['products'], (api) => api.products.list({})).answer ?? [];
}

/** Chooses one product by name. */
export function ProductPick(props: {
	readonly products: readonly Product[];
	readonly value: string | null;
	readonly onChange: (id: string | null) => void;
	readonly autoFocus?: boolean;
}) {
	return (
		<Pick
			label="Product"
			options={props.products.map((product) => ({
				value: product.id,
				label: productName(product.name, product.formulation),
			}))}
			value={props.value}
			onChange={props.onChange}
			required
			autoFocus={props.autoFocus ?? false}
			nothingFound="No such product on the books"
		/>
	);
}
