import { addSpace, findSpace, jobsInSpace, listSpaces, type SpaceStored, saveSpace } from '../../db/modules/spaces.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { ClosedSpace } from '../../shared/contract/spaces.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';

type NewSpace = Omit<ClosedSpace, 'id' | 'version'>;
type SpaceDetails = Omit<NewSpace, 'name' | 'kind' | 'floorM2' | 'volumeM3'>;

export async function addNewSpace(
	{ tx, farm, now, newId }: CommandContext,
	input: NewSpace & { key: string },
): Promise<Result<{ id: string }>> {
	const { key: _, ...space } = input;
	const trouble = await whatIsWrong({ tx }, space);
	if (trouble) return trouble;
	const id = newId();
	const fixed = { id, farmId: farm.id, removedAt: null, createdAt: now, version: 1 };
	await addSpace(tx, { ...fixed, ...columnsOf(space) });
	return ok({ id });
}

export async function updateSpace(
	{ tx, note }: CommandContext,
	input: { id: string; version: number; key: string } & { [Name in keyof NewSpace]?: NewSpace[Name] | undefined },
): Promise<Result<ClosedSpace>> {
	const { key: _, id, version, ...changes } = input;
	const row = await findSpace(tx, id);
	if (!row || row.removedAt !== null) return refuse('not.found', { what: 'closed space', id });
	if (row.version !== version) return refuse('row.changed', { what: row.name });
	const before = spaceOf(row);
	const next: ClosedSpace = { ...before, ...given(changes) };
	const trouble = await whatIsWrong({ tx }, next, id);
	if (trouble) return trouble;
	await saveSpace(tx, { ...row, ...columnsOf(next) });
	note({ table: 'closed_space', id, before: JSON.stringify(before), after: JSON.stringify(next) });
	return ok({ ...next, version: version + 1 });
}

/** Takes it off the list. Jobs that are still to be done in it are to be withdrawn or done first. */
export async function removeSpace(
	{ tx, now, note }: CommandContext,
	{ id, version, why }: { id: string; version: number; why: string },
): Promise<Result<{ id: string }>> {
	const row = await findSpace(tx, id);
	if (!row || row.removedAt !== null) return refuse('not.found', { what: 'closed space', id });
	if (row.version !== version) return refuse('row.changed', { what: row.name });
	const open = (await jobsInSpace(tx, id)).find(({ closing }) => closing === null);
	if (open) return refuse('space.jobOpen', { space: row.name, job: open.name });
	await saveSpace(tx, { ...row, removedAt: now });
	note({ table: 'closed_space', id, before: null, after: { removedAt: now, why } });
	return ok({ id });
}

export async function listAllSpaces({ db }: QueryContext): Promise<Result<ClosedSpace[]>> {
	return ok((await listSpaces(db)).map(spaceOf));
}

/** A row as the contract tells it. */
export function spaceOf({ id, name, kind, floorM2, volumeM3, details, version }: SpaceStored): ClosedSpace {
	return {
		id,
		name,
		kind,
		...(floorM2 === null ? {} : { floorM2 }),
		...(volumeM3 === null ? {} : { volumeM3 }),
		...(JSON.parse(details) as SpaceDetails),
		version,
	};
}

function columnsOf(space: NewSpace): Pick<SpaceStored, 'name' | 'kind' | 'floorM2' | 'volumeM3' | 'details'> {
	const { name, kind, floorM2 = null, volumeM3 = null, code, place, latitude, longitude, note } = space;
	const details: SpaceDetails = given({ code, place, latitude, longitude, note });
	return { name, kind, floorM2, volumeM3, details: JSON.stringify(details) };
}

async function whatIsWrong({ tx }: Pick<CommandContext, 'tx'>, { name, latitude, longitude }: NewSpace, own?: string) {
	if ((latitude === undefined) !== (longitude === undefined)) {
		return refuse('input.invalid', {
			path: latitude === undefined ? 'latitude' : 'longitude',
			why: 'a point has both',
		});
	}
	const twin = (await listSpaces(tx)).find((other) => other.name === name && other.id !== own);
	return twin ? refuse('input.invalid', { path: 'name', why: 'another closed space has this name' }) : null;
}
