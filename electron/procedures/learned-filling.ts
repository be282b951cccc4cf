import { type FillLogStored, fillsOfSprayer } from '../../db/modules/fills.ts';
import { findSprayer, type SprayerRow } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Learned } from '../../shared/contract/fills.ts';
import { type LoggedFill, learnFilling } from '../../shared/core/filling/learning.ts';
import type { QueryContext } from './handler.ts';
import type { SprayerDetails } from './sprayers.ts';

/** From this many fills on, what they teach is used instead of the settings. Assumption. */
const USED_FROM = 3;
/** Older fills say nothing of today's hose and pump. Assumption. */
const LAST_FILLS = 100;

/** The two figures a fill is worked out with, and how many fills each rests on; 0: the sprayer's settings. */
export type Pace = {
	readonly inflowLPerMin: number;
	readonly inflowFills: number;
	readonly secondsPerContainer: number;
	readonly paceFills: number;
};

/** How fast water comes in and a container is handled, from the fills logged. */
export async function learned(
	{ db }: QueryContext,
	{ sprayerId, operator }: { sprayerId: string; operator?: string | undefined },
): Promise<Result<Learned>> {
	const sprayer = await findSprayer<SprayerDetails>(db, sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: sprayerId });
	return ok(await learnedOf(db, sprayer, operator ?? null));
}

/** The figures to work a fill out with. */
export async function paceOf(db: ReadDb, sprayer: SprayerRow<SprayerDetails>, operator: string | null): Promise<Pace> {
	const { inflowLPerMin: inflow, secondsPerContainer: pace, settings } = await learnedOf(db, sprayer, operator);
	const inflowIsLearned = inflow.n >= USED_FROM;
	const paceIsLearned = pace.n >= USED_FROM;
	return {
		inflowLPerMin: inflowIsLearned ? inflow.estimate : settings.inflowLPerMin,
		inflowFills: inflowIsLearned ? inflow.n : 0,
		secondsPerContainer: paceIsLearned ? pace.estimate : settings.secondsPerContainer,
		paceFills: paceIsLearned ? pace.n : 0,
	};
}

async function learnedOf(db: ReadDb, sprayer: SprayerRow<SprayerDetails>, operator: string | null): Promise<Learned> {
	const fills = await fillsOfSprayer(db, sprayer.id, LAST_FILLS);
	const settings = { inflowLPerMin: sprayer.inflowLPerMin, secondsPerContainer: secondsPerContainer(sprayer) };
	const { inflowLPerMin, perContainerS } = learnFilling(
		fills.map(loggedFill),
		{ inflowLPerMin: settings.inflowLPerMin, perContainerS: settings.secondsPerContainer },
		operator,
	);
	return { secondsPerContainer: perContainerS, inflowLPerMin, fills: fills.length, settings, usedFrom: USED_FROM };
}

/** One container by the sprayer's settings: open and pour, every rinse, drain. */
function secondsPerContainer({ openAndPourS, rinsesS, drainS }: SprayerDetails): number {
	return openAndPourS + rinsesS.reduce((sum, rinseS) => sum + rinseS, 0) + drainS;
}

function loggedFill(row: FillLogStored): LoggedFill {
	const stopsS = JSON.parse(row.stopsS) as number[];
	return {
		durationS: row.runningS + stopsS.reduce((sum, stopS) => sum + stopS, 0),
		meteredL: row.meteredL,
		stopsS,
		containers: row.handled ?? row.containers,
		...(row.handlingS === null ? {} : { handlingS: row.handlingS }),
		operator: row.operator,
	};
}
