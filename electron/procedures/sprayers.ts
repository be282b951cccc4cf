import { addSprayer, findSprayer, listSprayers, saveSprayer } from '../../db/modules/sprayers.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Sprayer } from '../../shared/contract/sprayers.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';

type NewSprayer = Omit<Sprayer, 'id' | 'version'>;
export type SprayerDetails = Omit<Sprayer, 'id' | 'name' | 'kind' | 'capacityL' | 'minimumL' | 'hopperKg' | 'version'>;

export async function addNewSprayer(
	{ tx, farm, newId, now }: CommandContext,
	input: NewSprayer & { key?: string | undefined },
): Promise<Result<{ id: string }>> {
	const { key: _, ...sprayer } = input;
	const trouble = whatIsWrong(sprayer);
	if (trouble) return trouble;
	const id = newId();
	await addSprayer<SprayerDetails>(tx, { ...sprayer, id, version: 1 }, { farmId: farm.id, now });
	return ok({ id });
}

export async function updateSprayer(
	{ tx, note }: CommandContext,
	input: { id: string; version: number; key: string } & {
		[Name in keyof NewSprayer]?: NewSprayer[Name] | undefined;
	},
): Promise<Result<Sprayer>> {
	const { key: _, id, version, ...changes } = input;
	const before = await findSprayer<SprayerDetails>(tx, id);
	if (!before) return refuse('not.found', { what: 'sprayer', id });
	if (before.version !== version) return refuse('row.changed', { what: before.name });
	const next: Sprayer = { ...before, ...given(changes) };
	const trouble = whatIsWrong(next);
	if (trouble) return trouble;
	await saveSprayer(tx, next);
	note({ table: 'sprayer', id, before: JSON.stringify(before), after: JSON.stringify(next) });
	return ok({ ...next, version: version + 1 });
}

export async function listAllSprayers({ db }: QueryContext): Promise<Result<Sprayer[]>> {
	return ok(await listSprayers<SprayerDetails>(db));
}

function whatIsWrong({ kind, capacityL, minimumL, unsprayableL, hopperKg }: NewSprayer) {
	if (kind === 'granule applicator' && hopperKg === null) {
		return refuse('input.invalid', { path: 'hopperKg', why: 'say how many kilograms the hopper holds' });
	}
	if (kind !== 'sprayer') return null;
	if (capacityL <= 0)
		return refuse('input.invalid', { path: 'capacityL', why: 'a sprayer has a tank: say its litres' });
	if (minimumL > capacityL) return refuse('sprayer.minimumAboveCapacity', { minimumL, capacityL });
	if (unsprayableL >= capacityL) return refuse('load.unsprayableAboveCapacity', { unsprayableL, capacityL });
	return null;
}
