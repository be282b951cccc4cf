import type { ProductRow } from '../../db/modules/products.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Dosed } from '../../shared/contract/jobs-plan.ts';
import { type SpaceUnit, spaceDoses } from '../../shared/core/loads/closed-space.ts';
import { dosePerHectare } from '../../shared/core/loads/dose-per-hectare.ts';
import {
	type DoseUnit,
	type DoseWay,
	type SaidDose,
	sayDose,
	seedDoseWay,
} from '../../shared/core/loads/dose-units.ts';
import type { SeedUnit } from '../../shared/core/loads/seed.ts';
import { toLoad } from './product-to-load.ts';
import type { ProductDetails } from './products.ts';

/** A dose as it was said, kept beside the dose per hectare it comes to at the job's spray volume. */
export type KeptDose = { readonly way: DoseWay; readonly figure: number; readonly unit?: DoseUnit | undefined };

const notOnGround = ['dosePer100Kg', 'dosePerUnit', 'dosePerM3', 'dosePerM2'] as const;

/** The dose per hectare of a product, and how it was said. Refuses what the core refuses, naming the product. */
export function readDose(
	product: ProductRow<ProductDetails>,
	dosed: Dosed,
	at: { readonly sprayVolumeLPerHa: number; readonly path: string },
): Result<{ readonly dosePerHa: number; readonly kept: KeptDose }> {
	const { dosePerHa, dosePer100L, dosePercent, doseUnit } = dosed;
	if (notOnGround.some((way) => dosed[way] !== undefined)) {
		const { productId: _, doseUnit: __, ...doses } = dosed;
		return refuse('load.doseUnclear', { path: at.path, product: product.name, given: Object.keys(doses) });
	}
	const said = { ...toLoad(product, dosePerHa ?? 0), dosePerHa: dosePerHa ?? null, dosePer100L, dosePercent };
	const perHa = dosePerHectare(said, at.sprayVolumeLPerHa, at.path);
	if (!perHa.ok) return perHa;
	const way: DoseWay =
		dosePer100L !== undefined ? 'dosePer100L' : dosePercent !== undefined ? 'dosePercent' : 'dosePerHa';
	const figure = dosePer100L ?? dosePercent ?? dosePerHa ?? 0;
	return ok({ dosePerHa: perHa.value, kept: { way, figure, ...(doseUnit ? { unit: doseUnit } : {}) } });
}

type On = {
	readonly seed?: { readonly unit: SeedUnit } | null | undefined;
	readonly indoors?: { readonly unit: SpaceUnit } | null | undefined;
};

/** The way doses on seed or in a closed space are given, and the unit they are shown in where nobody chose one. */
export function doseWayOf(
	unit: 'L' | 'kg',
	{ seed, indoors }: On,
): { readonly way: DoseWay; readonly plain?: DoseUnit } {
	if (indoors) return { way: spaceDoses[indoors.unit].way, plain: spaceDoses[indoors.unit].plain[unit] };
	return { way: seed ? seedDoseWay(seed.unit) : 'dosePerHa' };
}

/** The dose of a product on seed or in a closed space, and how it was said. Refuses one that is not given, or in another way. */
export function readDoseOf(
	product: ProductRow<ProductDetails>,
	dosed: Dosed,
	{ way, plain, path }: { readonly way: DoseWay; readonly plain?: DoseUnit; readonly path: string },
): Result<{ readonly dose: number; readonly kept: KeptDose }> {
	const { productId: _, doseUnit = plain, ...doses } = dosed;
	const given = Object.keys(doses);
	const figure = doses[way];
	if (figure === undefined || given.length > 1) {
		return refuse('load.doseUnclear', { path, product: product.name, given });
	}
	return ok({ dose: figure, kept: { way, figure, ...(doseUnit ? { unit: doseUnit } : {}) } });
}

/** A kept dose as it is asked for again. */
export function saidAs(productId: string, kept: KeptDose | undefined, dosePerHa: number): Dosed {
	if (!kept) return { productId, dosePerHa };
	return { productId, [kept.way]: kept.figure, ...(kept.unit ? { doseUnit: kept.unit } : {}) };
}

/** How a dose is shown: as it was said, else per hectare. */
export function shownDose(kept: KeptDose | undefined, product: { unit: 'L' | 'kg' }, dosePerHa: number): SaidDose {
	return sayDose(kept ?? { way: 'dosePerHa', figure: dosePerHa }, product.unit, kept?.unit);
}
