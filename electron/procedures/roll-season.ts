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

/** Fields of one crop, or of all of them. */
type Rolled = { readonly entered: number; readonly leftEmpty: number; readonly kept: number };
type Counting = { -readonly [Name in keyof Rolled]: number };
/** `crop` null: fields without a crop in the season before; `next` null: the rotation does not name it. */
type RolledCrop = Rolled & { readonly crop: string | null; readonly next: string | null };

/**
 * Enters next season's crops by what stands on each field in the season before. A crop the rotation does not name leaves
 * its fields empty; a crop that was entered already stays. Dates and varieties begin anew.
 */
export async function rollSeason(
	{ tx, farm, now, newId }: CommandContext,
	{ from, to, rotation }: NextSeason,
): Promise<Result<Rolled & { byCrop: RolledCrop[] }>> {
	if (to <= from) return refuse('input.invalid', { path: 'to', why: 'it must come after the season it follows' });
	const next = new Map(rotation.map((line) => [line.crop, line]));
	if (next.size !== rotation.length)
		return refuse('input.invalid', { path: 'rotation', why: 'a crop stands twice in it' });
	const standing = new Set((await listCropping(tx, to)).map(({ fieldId }) => fieldId));
	const byCrop = new Map<string | null, Counting>();
	for (const { field, crop } of await listFields(tx, from, { farmedAfter: toLocalDate(now, farm.zone) })) {
		const line = crop ? next.get(crop.crop) : undefined;
		const before = crop?.crop ?? null;
		const counting = byCrop.get(before) ?? { entered: 0, leftEmpty: 0, kept: 0 };
		byCrop.set(before, counting);
		if (standing.has(field.id)) counting.kept++;
		else if (!line) counting.leftEmpty++;
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
			counting.entered++;
		}
	}
	const told = [...byCrop].map(([crop, counts]) => ({ crop, next: next.get(crop ?? '')?.next ?? null, ...counts }));
	const sumOf = (name: keyof Rolled) => told.reduce((sum, line) => sum + line[name], 0);
	return ok({
		...{ entered: sumOf('entered'), leftEmpty: sumOf('leftEmpty'), kept: sumOf('kept') },
		byCrop: told.sort(
			(one, other) => Number(one.crop === null) - Number(other.crop === null) || other.entered - one.entered,
		),
	});
}
