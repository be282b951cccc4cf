import type { FarmRow } from '../../db/modules/settings.ts';
import { saveFarm } from '../../db/modules/settings.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Settings } from '../../shared/contract/settings.ts';
import { ruleSets } from '../../shared/core/records/rule-sets.ts';
import { isZone } from './clock.ts';
import type { CommandContext, QueryContext } from './handler.ts';

type Changes = {
	readonly farmName?: string | undefined;
	readonly zone?: string | undefined;
	readonly seasonStartMonth?: number | undefined;
	readonly ruleSet?: string | undefined;
	readonly measureStep?: number | undefined;
	readonly meterErrorPercent?: number | undefined;
	readonly operator?: string | null | undefined;
};

export function getSettings({ farm }: QueryContext): Result<Settings> {
	return ok(shown(farm));
}

export async function saveSettings(
	{ tx, farm, note }: CommandContext,
	input: Changes & { key?: string },
): Promise<Result<Settings>> {
	const { key: _, ...changes } = input;
	if (changes.zone !== undefined && !isZone(changes.zone)) {
		return refuse('input.invalid', {
			path: 'zone',
			why: `${changes.zone} is not a time zone, for example Europe/Berlin`,
		});
	}
	if (changes.ruleSet !== undefined && !ruleSets.some((set) => set.id === changes.ruleSet)) {
		return refuse('input.invalid', { path: 'ruleSet', why: `there are ${ruleSets.map((set) => set.id).join(', ')}` });
	}
	const given = Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined));
	const next: FarmRow = { ...farm, ...given };
	await saveFarm(tx, next);
	note({ table: 'farm', id: farm.id, before: { ...shown(farm) }, after: { ...shown(next) } });
	return ok(shown({ ...next, version: farm.version + 1 }));
}

function shown(farm: FarmRow): Settings {
	const { id: _, userId: __, deviceId: ___, ...settings } = farm;
	return settings;
}
