import { jobProducts, listJobs } from '../../db/modules/jobs.ts';
import { findProducts, listProducts, type ProductRow } from '../../db/modules/products.ts';
import { addRecipe, listRecipes, type RecipeStored, saveRecipe } from '../../db/modules/recipes.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { PastMix, Recipe } from '../../shared/contract/recipes.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf } from './job-details.ts';
import type { ProductDetails } from './products.ts';

type Dose = { readonly productId: string; readonly dosePerHa: number };

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
		const doses = (lines.get(job.id) ?? []).map(({ line, name, formulation, unit }) => ({
			productId: line.productId,
			name,
			formulation,
			unit,
			dosePerHa: line.dose,
		}));
		const same = JSON.stringify([job.sprayVolume, doses.map(({ productId, dosePerHa }) => [productId, dosePerHa])]);
		if (seen.has(same)) continue;
		seen.add(same);
		const { nozzle, pressureBar, speedKmh, boomHeightM } = detailsOf(job);
		lastJobs.push({
			jobId: job.id,
			name: job.name,
			on: job.sprayDate,
			sprayerId: job.sprayerId,
			sprayVolumeLPerHa: job.sprayVolume,
			products: doses,
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
	input: { name: string; sprayVolumeLPerHa: number; products: Dose[] },
): Promise<Result<Recipe>> {
	const products = await findProducts<ProductDetails>(
		tx,
		input.products.map(({ productId }) => productId),
	);
	const unknown = input.products.find(({ productId }) => !products.has(productId));
	if (unknown) return refuse('not.found', { what: 'product', id: unknown.productId });
	const before = (await listRecipes(tx)).find(({ name }) => name === input.name);
	const row: RecipeStored = {
		id: before?.id ?? newId(),
		farmId: farm.id,
		name: input.name,
		sprayVolume: input.sprayVolumeLPerHa,
		products: JSON.stringify(input.products),
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
	const doses = JSON.parse(row.products) as Dose[];
	return {
		id: row.id,
		name: row.name,
		sprayVolumeLPerHa: row.sprayVolume,
		products: doses.flatMap(({ productId, dosePerHa }) => {
			const product = products.get(productId);
			if (!product) return [];
			return [{ productId, name: product.name, formulation: product.formulation, unit: product.unit, dosePerHa }];
		}),
		version: row.version,
	};
}
