import { eq } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import type { BackgroundLayer } from '../../shared/core/map/background-layer.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import type { Sqlite } from '../connection.ts';
import { farm } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type FarmRow = {
	readonly id: string;
	readonly farmName: string | null;
	readonly zone: string;
	readonly seasonStartMonth: number;
	readonly ruleSet: string;
	readonly measureStep: number;
	readonly meterErrorPercent: number;
	readonly operator: string | null;
	readonly background: BackgroundLayer | null;
	/** null: those usual under the rule set. */
	readonly displayUnits: DisplayUnits | null;
	readonly userId: string;
	readonly deviceId: string;
	readonly version: number;
};

/** The one farm of these books. */
export async function readFarm(db: ReadDb): Promise<FarmRow> {
	const [row] = await db.select().from(farm);
	invariant(row, 'the books hold one farm');
	const { name, measureStep, background, ...rest } = row;
	return {
		...rest,
		farmName: name,
		measureStep: fromStockAmount(measureStep),
		background: background === null ? null : (JSON.parse(background) as BackgroundLayer),
	};
}

/** Puts the farm's row into new books, still without a name. */
export function createFarm(sqlite: Sqlite, ids: { farm: string; device: string }, zone: string): void {
	sqlite
		.prepare(
			`INSERT INTO farm (id, name, zone, season_start_month, rule_set, measure_step, meter_error_percent, operator, user_id, device_id, version)
			 SELECT ?, NULL, ?, 10, 'eu-2023-564', 10000, 2, NULL, 'farm office', ?, 1 WHERE NOT EXISTS (SELECT 1 FROM farm)`,
		)
		.run(ids.farm, zone, ids.device);
}

/** Saves the changed settings and counts the version up. */
export async function saveFarm(tx: WriteDb, next: FarmRow): Promise<void> {
	const { id, farmName, measureStep, background, version, userId: _, deviceId: __, ...rest } = next;
	const done = await tx
		.update(farm)
		.set({
			...rest,
			name: farmName,
			measureStep: toStockAmount(measureStep),
			background: background && JSON.stringify(background),
			version: version + 1,
		})
		.where(eq(farm.id, id));
	invariant(done.changes === 1, 'the farm was saved once');
}
