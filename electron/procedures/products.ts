import type { z } from 'zod';
import { addProduct, findProducts, listProducts, productNamed, saveProduct } from '../../db/modules/products.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Product, ProductInput } from '../../shared/contract/products.ts';
import { formulationOf, formulations } from '../../shared/core/products/formulation.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';

type NewProduct = z.output<typeof ProductInput>;
export type ProductDetails = Omit<Product, 'id' | 'name' | 'formulation' | 'unit' | 'version'>;

export async function addNewProduct(
	{ tx, farm, newId, now }: CommandContext,
	input: NewProduct & { key?: string | undefined },
): Promise<Result<{ id: string }>> {
	const { key: _, ...product } = input;
	const trouble = whatIsWrong(product);
	if (trouble) return trouble;
	if (await productNamed(tx, product.name, product.formulation)) {
		return refuse('product.nameTaken', { name: product.name, formulation: product.formulation });
	}
	const id = newId();
	await addProduct(tx, { ...product, id, version: 1 }, { farmId: farm.id, now });
	return ok({ id });
}

export async function updateProduct(
	{ tx, note }: CommandContext,
	input: { id: string; version: number; key: string } & Partial<{
		[Name in keyof NewProduct]: NewProduct[Name] | undefined;
	}>,
): Promise<Result<Product>> {
	const { key: _, id, version, ...changes } = input;
	const before = (await findProducts<ProductDetails>(tx, [id])).get(id);
	if (!before) return refuse('not.found', { what: 'product', id });
	if (before.version !== version) return refuse('row.changed', { what: before.name });
	const merged = { ...before, ...given(changes) };
	// A size that is sold no more takes what was known of its closure along, unless the caller speaks of closures himself.
	const known = (merged.closures ?? []).filter(({ size }) => changes.closures || merged.packSizes.includes(size));
	const next = { ...merged, closures: known };
	const trouble = whatIsWrong(next);
	if (trouble) return trouble;
	const sameName = await productNamed(tx, next.name, next.formulation);
	if (sameName && sameName !== id) {
		return refuse('product.nameTaken', { name: next.name, formulation: next.formulation });
	}
	await saveProduct(tx, next);
	note({ table: 'product', id, before: JSON.stringify(before), after: JSON.stringify(next) });
	return ok({ ...next, version: version + 1 });
}

export async function listAllProducts({ db }: QueryContext): Promise<Result<Product[]>> {
	return ok(await listProducts<ProductDetails>(db));
}

export function listFormulations() {
	return ok(
		formulations.map(({ code, name, state, tank, ambiguous }) => ({
			code,
			name,
			state,
			tank,
			ambiguous: ambiguous !== undefined,
		})),
	);
}

/** What the fields of a product contradict each other in; null when they agree. */
export function whatIsWrong(product: NewProduct) {
	const { name, formulation, unit, packSizes, relativeDensity } = product;
	const known = formulationOf(formulation);
	if (!known) return refuse('product.formulationUnknown', { formulation });
	if (known.state === 'liquid' && unit === 'kg' && !relativeDensity) {
		return refuse('product.densityMissing', { product: name, formulation });
	}
	if (new Set(packSizes).size !== packSizes.length) {
		return refuse('input.invalid', { path: 'packSizes', why: 'a pack size stands twice' });
	}
	const trouble = contentsAreWrong(product);
	if (trouble) return refuse('input.invalid', { path: 'nutrients', why: trouble });
	// Products entered before closures were asked for have none.
	const closures = product.closures ?? [];
	const stray = closures.find(({ size }) => !packSizes.includes(size));
	if (stray) return refuse('product.packUnknown', { product: name, size: stray.size, unit, sizes: packSizes });
	if (new Set(closures.map(({ size }) => size)).size !== closures.length) {
		return refuse('input.invalid', { path: 'closures', why: 'a pack size stands twice' });
	}
	return null;
}

function contentsAreWrong({ nutrients = [] }: Pick<NewProduct, 'nutrients'>): string | null {
	if (new Set(nutrients.map(({ nutrient }) => nutrient)).size !== nutrients.length) return 'a nutrient stands twice';
	const byMass = nutrients.filter(({ contentUnit }) => contentUnit === '% w/w');
	return byMass.reduce((sum, { content }) => sum + content, 0) > 100
		? 'together they are more than 100 % by mass'
		: null;
}
