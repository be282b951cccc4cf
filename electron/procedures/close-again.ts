import { countAtOrAfter, listMovements, type MovementStored, type NewMovement, post } from '../../db/modules/store.ts';
import type { CommandContext } from './handler.ts';

type TakenBack = Pick<NewMovement, 'productId' | 'containerId'>;

/**
 * Packs that were opened only for what is taken back now were never opened: each stands full on the shelf again.
 *
 * Nothing stands on such a container but its opening, whoever was taken back last. One that something else was poured
 * from stays open, and so does one a stock take has seen since: what was counted stands.
 */
export async function closeAgain(
	context: CommandContext,
	takenBack: readonly TakenBack[],
	{ why, by }: { why: string; by: string },
): Promise<void> {
	const { tx } = context;
	const mirror: NewMovement[] = [];
	for (const [productId, rows] of Map.groupBy(takenBack, (row) => row.productId)) {
		const containerIds = [...new Set(rows.flatMap(({ containerId }) => containerId ?? []))];
		if (containerIds.length === 0) continue;
		const lines = standingLines(await listMovements(tx, { productId, containerIds }));
		for (const [opening, ...others] of Map.groupBy(lines, ({ containerId }) => containerId).values()) {
			if (!opening || others.length > 0 || opening.kind !== 'opening') continue;
			if (await countAtOrAfter(tx, { ...opening, at: opening.occurredAt })) continue;
			const sealed = await sealedSideOf(context, opening);
			if (sealed) mirror.push(...[opening, sealed].map((row) => mirrorOf(row, { why, by })));
		}
	}
	if (mirror.length > 0) await post(tx, context, mirror);
}

/** The lines that were not taken back, without those that took back. */
function standingLines(rows: readonly MovementStored[]): MovementStored[] {
	const reversed = new Set(rows.map(({ reverses }) => reverses));
	return rows.filter(({ id, reverses }) => reverses === null && !reversed.has(id));
}

/** The line that took the pack from the full ones: it was posted just before the container's own. */
async function sealedSideOf({ tx }: CommandContext, opening: MovementStored): Promise<MovementStored | undefined> {
	const { productId, occurredAt: at } = opening;
	const then = await listMovements(tx, { productId, from: at, to: at });
	return standingLines(then).find(
		({ kind, lotId, containerId, seq, eventId }) =>
			kind === 'opening' &&
			containerId === null &&
			lotId === opening.lotId &&
			eventId === opening.eventId &&
			seq < opening.seq,
	);
}

function mirrorOf(row: MovementStored, { why, by }: { why: string; by: string }): NewMovement {
	const { productId, storeId, lotId, containerId, occurredAt, jobId, loadLogId, loadNumber } = row;
	return {
		...{ productId, storeId, lotId, containerId, occurredAt, jobId, loadLogId, loadNumber, why },
		...{ kind: 'opening', amount: -row.amount, who: by, reverses: row.id },
	};
}
