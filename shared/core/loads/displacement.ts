import { ok, type Result, refuse } from '../../basics/result.ts';
import { type Formulation, formulationOf } from '../products/formulation.ts';
import type { PlanWarning, ProductToLoad } from './loads-request.ts';

/**
 * Litres one kilogram of a dry product takes up in the tank where neither density nor displacement is known. From memory: true
 * density of clay- and silica-based powders and granules is about 1.3 to 1.7 kg/L, so 0.6 to 0.75 L/kg. No handbook
 * table was found; 30 kg in a 4,000 L load move the water by about 21 L.
 */
export const ASSUMED_L_PER_KG = 0.7;

export type Displacement = { readonly litresPerUnit: number; readonly warnings: readonly PlanWarning[] };

/**
 * Litres of tank that one unit (L or kg) of a product takes up.
 *
 *   liquid by the litre     1
 *   liquid by the kilogram  1 ÷ relative density
 *   solid by the kilogram   displacement [L/kg] as given, else 1 ÷ relative density, else 0.7 with a warning
 *
 * Liquid or solid follows the formulation code, never the unit. A displacement given for this very product wins over
 * its density, for the solid may dissolve. Where the letters do not say (XX, KK …) the unit has to decide.
 * Refuses an unknown code, a liquid by mass without its density, and a solid by the litre: a heaped litre is part air.
 * Source: displacement, domain practice "liquids in full, solids 1 ÷ density"; simple addition of volumes is right to
 * better than 0.09 % (National Cotton Council, Beltwide Proceedings 8395, abstract 3922).
 */
export function displacementOf(product: ProductToLoad, path: string): Result<Displacement> {
	const formulation = formulationOf(product.formulation);
	if (formulation === null) {
		return refuse('product.formulationUnknown', {
			path: `${path}.formulation`,
			product: product.name,
			formulation: product.formulation,
		});
	}
	const liquid = formulation.state === 'either' ? product.unit === 'L' : formulation.state === 'liquid';
	const taken = liquid ? liquidDisplacement(product, path) : solidDisplacement(product, path);
	if (!taken.ok) return taken;
	return ok({ ...taken.value, warnings: [...tankWarnings(product, formulation), ...taken.value.warnings] });
}

function liquidDisplacement(product: ProductToLoad, path: string): Result<Displacement> {
	if (product.unit === 'L') return ok({ litresPerUnit: 1, warnings: [] });
	const density = product.relativeDensity ?? 0;
	if (density > 0) return ok({ litresPerUnit: 1 / density, warnings: [] });
	return refuse('product.densityMissing', {
		path: `${path}.relativeDensity`,
		product: product.name,
		formulation: product.formulation,
	});
}

function solidDisplacement(product: ProductToLoad, path: string): Result<Displacement> {
	if (product.unit === 'L') {
		return refuse('product.solidByVolume', {
			path: `${path}.unit`,
			product: product.name,
			formulation: product.formulation,
		});
	}
	if (typeof product.displacementLPerKg === 'number') {
		return ok({ litresPerUnit: product.displacementLPerKg, warnings: [] });
	}
	const density = product.relativeDensity ?? 0;
	if (density > 0) return ok({ litresPerUnit: 1 / density, warnings: [] });
	const message = `${product.name}: no relative density is known, so ${ASSUMED_L_PER_KG} L/kg is assumed for the room it takes up.`;
	return ok({
		litresPerUnit: ASSUMED_L_PER_KG,
		warnings: [{ code: 'product.displacementAssumed', message, record: product.name }],
	});
}

function tankWarnings(product: ProductToLoad, { code, name, tank }: Formulation): PlanWarning[] {
	if (tank !== 'no' && tank !== 'seed only') return [];
	const message = `${product.name}: ${code} (${name}) does not go into a spray tank with water. Check the code on the label.`;
	return [{ code: 'product.notForTank', message, record: product.name }];
}
