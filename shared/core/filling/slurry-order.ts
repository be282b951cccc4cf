import { ok, type Result, refuse } from '../../basics/result.ts';
import { honourInstructions } from './label-instructions.ts';
import { contradiction, instructionsOf, type MixProduct } from './mix-order.ts';

export type SlurryStep = { readonly name: string; readonly why: string; readonly source: string };

/** Said once for a slurry of several products. */
export const SLURRY_ORDER =
	'The order in the slurry is that of the labels; where none on the books says more, as entered. No published order by formulation for slurries is known here, so ask the makers, and try it in a jar.';

/**
 * The order in which several products go into the slurry for seed: as their labels say, else as entered. No published order
 * by formulation is known for slurries, so none is made up. Refuses what `mixOrder` refuses of label instructions.
 */
export function slurryOrder(products: readonly MixProduct[]): Result<SlurryStep[]> {
	const instructions = instructionsOf(products);
	if (!instructions.ok) return instructions;
	const order = honourInstructions(
		products.map(() => 0),
		instructions.value,
	);
	if (!order.possible) return refuse('mixOrder.contradiction', contradiction(order.cycle, products));
	const nameOf = (at: number) => products[at]?.name ?? '';
	return ok(
		order.sequence.map((index) => {
			const own = instructions.value.filter(({ owner }) => owner === index);
			const said = own.map(({ relation, other }) => `${relation} ${nameOf(other)}`).join(', ');
			return { name: nameOf(index), why: said && `Its label says ${said}.`, source: said && 'label' };
		}),
	);
}
