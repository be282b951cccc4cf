import { jobProducts, listJobs } from '../../db/modules/jobs.ts';
import { findProducts, listProducts, type ProductRow } from '../../db/modules/products.ts';
import { addRecipe, listRecipes, type RecipeStored, saveRecipe } from '../../db/modules/recipes.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Dosed } from '../../shared/contract/jobs-plan.ts';
import type { PastMix, Recipe } from '../../shared/contract/recipes.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';
import { type KeptDose, readDose, shownDose } from './said-dose.ts';

/** Recipes kept before doses had other ways hold them per hectare. */
type Kept = { readonly productId: string; readonly dosePerHa: number; readonly said?: KeptDose };

/** The same mix is offered once; so many of the last different ones. */
const LAST_MIXES = 6;

/** Where a plan may start: saved recipes, and the mixes of the last jobs. */
export async function listStartingPoints({
	db,
}: QueryContext): Promise<Result<{ recipes: Recipe[]; lastJobs: PastMix[] }>> {
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const recipes = (await listRecipes(db)).map((row) => recipeOf(row, products));
	const seen = new Set<string>();
	const lastJobs: PastMix[] = [];
	const jobs = await listJobs(db);
	const lines = Map.groupBy(
		await jobProducts(
			db,
			jobs.map(({ job }) => job.id),
		),
		({ line }) => line.jobId,
	);
	for (const { job } of jobs) {
		// A recipe is a mix in water; what is brought out otherwise has more to it than doses.
		if (job.kind !== 'spray in water') continue;
		const { nozzle, pressureBar, speedKmh, boomHeightM, doses } = detailsOf(job);
		const mix = (lines.get(job.id) ?? []).map(({ line, name, formulation, unit }) => ({
			productId: line.productId,
			name,
			formulation,
			unit,
			dosePerHa: line.dose,
			dose: shownDose(doses[line.productId], { unit }, line.dose),
		}));
		const same = JSON.stringify([job.sprayVolume, mix.map(({ productId, dosePerHa }) => [productId, dosePerHa])]);
		if (seen.has(same)) continue;
		seen.add(same);
		lastJobs.push({
			jobId: job.id,
			name: job.name,
			on: job.sprayDate,
			sprayerId: job.sprayerId,
			sprayVolumeLPerHa: job.sprayVolume,
			products: mix,
			nozzle,
			pressureBar,
			speedKmh,
			boomHeightM,
		});
		if (lastJobs.length === LAST_MIXES) break;
	}
	return ok({ recipes, lastJobs });
}

/** Saves a mix under a name; a recipe of that name is replaced. */
export async function saveNewRecipe(
	{ tx, farm, now, newId, note }: CommandContext,
	input: { name: string; sprayVolumeLPerHa: number; products: readonly Dosed[] },
): Promise<Result<Recipe>> {
	const products = await findProducts<ProductDetails>(
		tx,
		input.products.map(({ productId }) => productId),
	);
	const unknown = input.products.find(({ productId }) => !products.has(productId));
	if (unknown) return refuse('not.found', { what: 'product', id: unknown.productId });
	const kept: Kept[] = [];
	for (const [index, dosed] of input.products.entries()) {
		const product = products.get(dosed.productId);
		if (!product) continue;
		const dose = readDose(product, dosed, { ...input, path: `products[${index}]` });
		if (!dose.ok) return dose;
		kept.push({ productId: product.id, dosePerHa: dose.value.dosePerHa, said: dose.value.kept });
	}
	const before = (await listRecipes(tx)).find(({ name }) => name === input.name);
	const row: RecipeStored = {
		id: before?.id ?? newId(),
		farmId: farm.id,
		name: input.name,
		sprayVolume: input.sprayVolumeLPerHa,
		products: JSON.stringify(kept),
		createdAt: before?.createdAt ?? now,
		removedAt: null,
		version: before?.version ?? 1,
	};
	if (!before) await addRecipe(tx, row);
	else {
		await saveRecipe(tx, row);
		note({ table: 'recipe', id: row.id, before: JSON.stringify(before), after: JSON.stringify(row) });
	}
	return ok({ ...recipeOf(row, products), version: before ? before.version + 1 : 1 });
}

export async function removeRecipe({ tx, now, note }: CommandContext, { id }: { id: string }) {
	const row = (await listRecipes(tx)).find((recipe) => recipe.id === id);
	if (!row) return refuse('not.found', { what: 'recipe', id });
	await saveRecipe(tx, { ...row, removedAt: now });
	note({ table: 'recipe', id, before: null, after: { removedAt: now } });
	return ok({ id });
}

function recipeOf(row: RecipeStored, products: ReadonlyMap<string, ProductRow<ProductDetails>>): Recipe {
	const doses = JSON.parse(row.products) as Kept[];
	return {
		id: row.id,
		name: row.name,
		sprayVolumeLPerHa: row.sprayVolume,
		products: doses.flatMap(({ productId, dosePerHa, said }) => {
			const product = products.get(productId);
			if (!product) return [];
			const { name, formulation, unit } = product;
			return [{ productId, name, formulation, unit, dosePerHa, dose: shownDose(said, product, dosePerHa) }];
		}),
		version: row.version,
	};
}
