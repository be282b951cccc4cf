import { listCropping, listFields, saveCropping } from '../../db/modules/fields.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toLocalDate } from './clock.ts';
import { loadFor } from './field-register.ts';
import type { CommandContext, QueryContext } from './handler.ts';

/** What stands in a season, the crop with most ground first. */
export async function cropsOfSeason({ db, farm, now }: QueryContext, { season }: { readonly season: number }) {
	const rows = await listFields(db, season, { farmedAfter: toLocalDate(now, farm.zone) });
	const byCrop = Map.groupBy(
		rows.filter(({ crop }) => crop !== null),
		({ crop }) => crop?.crop ?? '',
	);
	const crops = [...byCrop].map(([crop, grown]) => ({
		crop,
		eppoCode: grown.find((row) => row.crop?.eppoCode)?.crop?.eppoCode ?? null,
		fields: grown.length,
		areaHa: toHectares(grown.reduce((sum, row) => sum + (loadFor(row).m2 ?? 0), 0)),
	}));
	return ok(crops.sort((one, other) => other.areaHa - one.areaHa || one.crop.localeCompare(other.crop, 'en')));
}

type NextSeason = {
	readonly from: number;
	readonly to: number;
	readonly rotation: readonly {
		readonly crop: string;
		readonly next: string;
		readonly eppoCode?: string | undefined;
	}[];
};

/**
 * Enters next season's crops by what stands on each field in the season before. A crop the rotation does not name leaves
 * its fields empty; a crop that was entered already stays. Dates and varieties begin anew.
 */
export async function rollSeason(
	{ tx, farm, now, newId }: CommandContext,
	{ from, to, rotation }: NextSeason,
): Promise<Result<{ entered: number; leftEmpty: number; kept: number }>> {
	if (to <= from) return refuse('input.invalid', { path: 'to', why: 'it must come after the season it follows' });
	const next = new Map(rotation.map((line) => [line.crop, line]));
	if (next.size !== rotation.length)
		return refuse('input.invalid', { path: 'rotation', why: 'a crop stands twice in it' });
	const standing = new Set((await listCropping(tx, to)).map(({ fieldId }) => fieldId));
	let [entered, leftEmpty, kept] = [0, 0, 0];
	for (const { field, crop } of await listFields(tx, from, { farmedAfter: toLocalDate(now, farm.zone) })) {
		const line = crop ? next.get(crop.crop) : undefined;
		if (standing.has(field.id)) kept++;
		else if (!line) leftEmpty++;
		else {
			await saveCropping(tx, {
				id: newId(),
				fieldId: field.id,
				season: to,
				crop: line.next,
				eppoCode: line.eppoCode ?? null,
				variety: null,
				sownOn: null,
				harvestOn: null,
				version: 1,
			});
			entered++;
		}
	}
	return ok({ entered, leftEmpty, kept });
}
