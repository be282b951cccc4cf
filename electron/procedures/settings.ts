import type { FarmRow } from '../../db/modules/settings.ts';
import { saveFarm } from '../../db/modules/settings.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Settings } from '../../shared/contract/settings.ts';
import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import { type BackgroundLayer, checkBackground } from '../../shared/core/map/background-layer.ts';
import { ruleSets } from '../../shared/core/records/rule-sets.ts';
import { isZone } from './clock.ts';
import type { CommandContext, QueryContext, Transact } from './handler.ts';

type Changes = {
	readonly farmName?: string | undefined;
	readonly zone?: string | undefined;
	readonly seasonStartMonth?: number | undefined;
	readonly ruleSet?: string | undefined;
	readonly measureStep?: number | undefined;
	readonly meterErrorPercent?: number | undefined;
	readonly operator?: string | null | undefined;
	readonly displayUnits?: DisplayUnits | null | undefined;
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

/** The page may load pictures from that server from its next opening on; the demonstration farm lies nowhere. */
export async function setBackground(
	{ demo }: QueryContext,
	input: { background: BackgroundLayer | null },
	transact: Transact,
): Promise<Result<Settings>> {
	if (demo) return refuse('demo.noBackground');
	const checked = input.background === null ? ok(null) : checkBackground(input.background);
	if (!checked.ok) return checked;
	return transact(async ({ tx, farm, note }) => {
		const next: FarmRow = { ...farm, background: checked.value };
		await saveFarm(tx, next);
		const [before, after] = [{ background: farm.background }, { background: next.background }];
		note({ table: 'farm', id: farm.id, before, after });
		return ok(shown({ ...next, version: farm.version + 1 }));
	});
}

function shown(farm: FarmRow): Settings {
	const { id: _, userId: __, deviceId: ___, ...settings } = farm;
	return settings;
}
