import type { ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import type { MixCarrier } from '../../shared/core/filling/carrier-ranking.ts';
import { type MixProduct, type MixStep, mixOrder } from '../../shared/core/filling/mix-order.ts';
import { slurryOrder } from '../../shared/core/filling/slurry-order.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import type { ProductDetails } from './products.ts';

type Product = ProductRow<ProductDetails>;
type Line = PlannedLoad['products'][number];

export type Placed = Pick<MixStep, 'name' | 'why' | 'source'> & Partial<Pick<MixStep, 'waitAfterS'>>;
type ToOrder = {
	readonly load: PlannedLoad;
	readonly partners: readonly Line[];
	readonly products: Map<string, Product>;
	readonly farm: FarmRow;
	readonly carrier: MixCarrier;
};

/** The order in which the products of one load go into a tank or a slurry; nothing where nothing is mixed. */
export function orderOf(kind: ApplicationKind, { load, partners, products, farm, carrier }: ToOrder): Result<Placed[]> {
	const mix = mixProducts(partners, products, farm);
	if (kind === 'spray in water' || kind === 'spray in liquid fertiliser') return mixOrder({ carrier, products: mix });
	if (partners.length < 2) return ok([]);
	if (kind === 'seed treatment') return slurryOrder(mix);
	return kind === 'closed space' && load.totalL > 0 ? mixOrder({ carrier, products: mix }) : ok([]);
}

/** Labels outside North America use the international letters; there each product says which it means, or it is asked. */
function mixProducts(lines: readonly Line[], products: Map<string, Product>, { ruleSet }: FarmRow): MixProduct[] {
	const usual = ruleSet.startsWith('us-') ? undefined : ('international' as const);
	const here = new Set(lines.map(({ name }) => name));
	const partners = (names: readonly string[] | undefined) => (names ?? []).filter((name) => here.has(name));
	return lines.map((line) => {
		const product = products.get(line.productId);
		const kind = product?.kind === 'plant protection product' ? undefined : product?.kind;
		return {
			name: line.name,
			formulation: line.formulation,
			...(kind ? { kind } : {}),
			waterSolubleBag: product?.waterSolubleBag ?? false,
			// A label that names a product of another mix says nothing about this one.
			after: partners(product?.after),
			before: partners(product?.before),
			coding: product?.coding ?? usual,
		};
	});
}
