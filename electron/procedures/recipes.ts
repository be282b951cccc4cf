import type { z } from 'zod';
import { type JobStored, jobProducts, listJobs } from '../../db/modules/jobs.ts';
import { findProducts, listProducts, type ProductRow } from '../../db/modules/products.ts';
import { addRecipe, listRecipes, type RecipeStored, saveRecipe } from '../../db/modules/recipes.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Dosed } from '../../shared/contract/jobs-plan.ts';
import type { PastMix, Recipe, recipesContract } from '../../shared/contract/recipes.ts';
import { slurryLitres, wrongSlurryUnit } from '../../shared/core/loads/slurry.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { detailsOf, planOf } from './job-details.ts';
import { carrierAgain } from './plan-rest.ts';
import type { ProductDetails } from './products.ts';
import { doseWayOf, type KeptDose, readDose, readDoseOf, shownDose } from './said-dose.ts';

/** A dose as a recipe keeps it: per hectare, or on seed. Recipes kept before doses had other ways hold no more. */
type Kept = { readonly productId: string; readonly dosePerHa: number; readonly said?: KeptDose };

type BroughtOut = Pick<Recipe, 'kind' | 'sprayVolumeLPerHa' | 'carrier' | 'seedUnit' | 'slurry' | 'spaceUnit'>;

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
		const { nozzle, pressureBar, speedKmh, boomHeightM, doses } = detailsOf(job);
		const how = broughtOutBy(job);
		const mix = (lines.get(job.id) ?? [])
			.filter(({ line }) => line.productId !== how.carrier?.productId)
			.map(({ line, name, formulation, unit }) => ({
				productId: line.productId,
				name,
				formulation,
				unit,
				dosePerHa: isOnGround(how) ? line.dose : null,
				dose: shownDose(doses[line.productId], { unit }, line.dose),
			}));
		const same = JSON.stringify([how, mix.map(({ productId, dose }) => [productId, dose])]);
		if (seen.has(same)) continue;
		seen.add(same);
		lastJobs.push({
			jobId: job.id,
			name: job.name,
			on: job.sprayDate,
			sprayerId: job.sprayerId,
			...how,
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

/** A neat liquid has no volume of its own: its dose is that. */
function broughtOutBy(job: JobStored): BroughtOut {
	return {
		kind: job.kind,
		sprayVolumeLPerHa: job.kind === 'neat liquid' ? 0 : job.sprayVolume,
		carrier: carrierAgain(planOf(job)) ?? null,
		seedUnit: detailsOf(job).seed?.unit ?? null,
		slurry: detailsOf(job).seed?.slurry ?? null,
		spaceUnit: detailsOf(job).indoors?.unit ?? null,
	};
}

function isOnGround({ seedUnit, spaceUnit }: Pick<BroughtOut, 'seedUnit' | 'spaceUnit'>): boolean {
	return seedUnit === null && spaceUnit === null;
}

type SaveInput = z.output<(typeof recipesContract.save)['~orpc']['inputSchema'] & z.ZodType>;

/** Saves a mix under a name; a recipe of that name is replaced. */
export async function saveNewRecipe(
	{ tx, farm, now, newId, note }: CommandContext,
	input: SaveInput,
): Promise<Result<Recipe>> {
	const { kind, sprayVolumeLPerHa = 0, carrier = null, seedUnit = null, slurry = null, spaceUnit = null } = input;
	const lacking = lackingOf(input);
	if (lacking) return refuse('input.invalid', lacking);
	const products = await findProducts<ProductDetails>(tx, [
		...input.products.map(({ productId }) => productId),
		...(carrier?.productId ? [carrier.productId] : []),
	]);
	const unknown = [...input.products, ...(carrier?.productId ? [{ productId: carrier.productId }] : [])].find(
		({ productId }) => !products.has(productId),
	);
	if (unknown) return refuse('not.found', { what: 'product', id: unknown.productId });
	const kept: Kept[] = [];
	for (const [index, dosed] of input.products.entries()) {
		const product = products.get(dosed.productId);
		if (!product) continue;
		const dose = keptDose(product, dosed, { sprayVolumeLPerHa, seedUnit, spaceUnit, path: `products[${index}]` });
		if (!dose.ok) return dose;
		kept.push(dose.value);
	}
	const before = (await listRecipes(tx)).find(({ name }) => name === input.name);
	const row: RecipeStored = {
		id: before?.id ?? newId(),
		farmId: farm.id,
		name: input.name,
		kind,
		sprayVolume: sprayVolumeLPerHa,
		products: JSON.stringify(kept),
		details: JSON.stringify({ carrier, seedUnit, slurry, spaceUnit } satisfies RecipeDetails),
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

/** What a kind cannot do without, and what does not belong to it. */
function lackingOf({ kind, sprayVolumeLPerHa, carrier, seedUnit, slurry, spaceUnit }: SaveInput) {
	const inFertiliser = kind === 'spray in liquid fertiliser';
	const isSprayed = kind === 'spray in water' || inFertiliser;
	if (isSprayed !== (sprayVolumeLPerHa !== undefined)) {
		const why = isSprayed ? 'say the litres on one hectare' : 'only a mix that is sprayed has one';
		return { path: 'sprayVolumeLPerHa', why };
	}
	if (inFertiliser !== (carrier !== undefined)) {
		return { path: 'carrier', why: inFertiliser ? 'say which fertiliser it is' : 'only a spray in fertiliser has one' };
	}
	const onSeed = kind === 'seed treatment';
	if (onSeed !== (seedUnit !== undefined)) {
		return { path: 'seedUnit', why: onSeed ? 'say how the seed is counted' : 'only a seed treatment has seed' };
	}
	const inSpace = kind === 'closed space';
	if (inSpace !== (spaceUnit !== undefined)) {
		return {
			path: 'spaceUnit',
			why: inSpace ? 'say what the doses are for' : 'only a job in a closed space has one',
		};
	}
	if (!slurry) return null;
	if (seedUnit === undefined) return { path: 'slurry', why: 'only a seed treatment has a slurry' };
	return slurryLitres(slurry, seedUnit) === null ? { path: 'slurry.unit', why: wrongSlurryUnit(seedUnit) } : null;
}

function keptDose(
	product: ProductRow<ProductDetails>,
	dosed: Dosed,
	at: Pick<BroughtOut, 'sprayVolumeLPerHa' | 'seedUnit' | 'spaceUnit'> & { readonly path: string },
): Result<Kept> {
	const productId = product.id;
	if (!isOnGround(at)) {
		const { seedUnit, spaceUnit, path } = at;
		const on = { seed: seedUnit && { unit: seedUnit }, indoors: spaceUnit && { unit: spaceUnit } };
		const dose = readDoseOf(product, dosed, { ...doseWayOf(product.unit, on), path });
		return dose.ok ? ok({ productId, dosePerHa: dose.value.dose, said: dose.value.kept }) : dose;
	}
	const dose = readDose(product, dosed, at);
	return dose.ok ? ok({ productId, dosePerHa: dose.value.dosePerHa, said: dose.value.kept }) : dose;
}

export async function removeRecipe({ tx, now, note }: CommandContext, { id }: { id: string }) {
	const row = (await listRecipes(tx)).find((recipe) => recipe.id === id);
	if (!row) return refuse('not.found', { what: 'recipe', id });
	await saveRecipe(tx, { ...row, removedAt: now });
	note({ table: 'recipe', id, before: null, after: { removedAt: now } });
	return ok({ id });
}

type RecipeDetails = Pick<BroughtOut, 'carrier' | 'seedUnit'> & Partial<Pick<BroughtOut, 'slurry' | 'spaceUnit'>>;

function recipeOf(row: RecipeStored, products: ReadonlyMap<string, ProductRow<ProductDetails>>): Recipe {
	const doses = JSON.parse(row.products) as Kept[];
	const {
		carrier,
		seedUnit,
		slurry = null,
		spaceUnit = null,
	}: RecipeDetails = row.details ? (JSON.parse(row.details) as RecipeDetails) : { carrier: null, seedUnit: null };
	return {
		id: row.id,
		name: row.name,
		kind: row.kind,
		sprayVolumeLPerHa: row.sprayVolume,
		carrier,
		seedUnit,
		slurry,
		spaceUnit,
		products: doses.flatMap(({ productId, dosePerHa, said }) => {
			const product = products.get(productId);
			if (!product) return [];
			const { name, formulation, unit } = product;
			const dose = shownDose(said, product, dosePerHa);
			return [
				{ productId, name, formulation, unit, dosePerHa: isOnGround({ seedUnit, spaceUnit }) ? dosePerHa : null, dose },
			];
		}),
		version: row.version,
	};
}
