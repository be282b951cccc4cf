import { and, asc, eq, isNull } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import { recipe } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type RecipeStored = typeof recipe.$inferSelect;

/** Recipes on the list, by name. */
export async function listRecipes(db: ReadDb): Promise<RecipeStored[]> {
	return db.select().from(recipe).where(isNull(recipe.removedAt)).orderBy(asc(recipe.name));
}

export async function addRecipe(tx: WriteDb, row: RecipeStored): Promise<void> {
	await tx.insert(recipe).values(row);
}

/** Saves a recipe against the version it was read at. */
export async function saveRecipe(tx: WriteDb, row: RecipeStored): Promise<void> {
	const { id, version, ...rest } = row;
	const done = await tx
		.update(recipe)
		.set({ ...rest, version: version + 1 })
		.where(and(eq(recipe.id, id), eq(recipe.version, version)));
	invariant(done.changes === 1, 'the recipe was saved once');
}
