import { and, asc, eq } from 'drizzle-orm';
import { invariant } from '../../shared/basics/result.ts';
import type { MachineKind } from '../../shared/core/loads/application-kind.ts';
import { sprayer } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export type SprayerRow<Details> = Details & {
	readonly id: string;
	readonly name: string;
	readonly kind: MachineKind;
	/** 0: it has no tank. */
	readonly capacityL: number;
	readonly minimumL: number;
	readonly hopperKg: number | null;
	readonly version: number;
};

function fromRow<Details>(row: typeof sprayer.$inferSelect): SprayerRow<Details> {
	const { id, name, kind, capacityL, minimumL, hopperKg, version } = row;
	return { ...(JSON.parse(row.details) as Details), id, name, kind, capacityL, minimumL, hopperKg, version };
}

function detailsOf(row: object): string {
	const {
		id: _,
		name: __,
		kind: ___,
		capacityL: ____,
		minimumL: _____,
		hopperKg: ______,
		version: _______,
		...details
	} = row as Record<string, unknown>;
	return JSON.stringify(details);
}

/** Every sprayer, by name. */
export async function listSprayers<Details>(db: ReadDb): Promise<SprayerRow<Details>[]> {
	const rows = await db.select().from(sprayer).orderBy(asc(sprayer.name), asc(sprayer.id));
	return rows.map((row) => fromRow<Details>(row));
}

export async function findSprayer<Details>(db: ReadDb, id: string): Promise<SprayerRow<Details> | null> {
	const [row] = await db.select().from(sprayer).where(eq(sprayer.id, id));
	return row ? fromRow<Details>(row) : null;
}

export async function addSprayer<Details extends object>(
	tx: WriteDb,
	row: SprayerRow<Details>,
	{ farmId, now }: { farmId: string; now: number },
): Promise<void> {
	const { id, name, kind, capacityL, minimumL, hopperKg, version } = row;
	await tx.insert(sprayer).values({
		id,
		farmId,
		name,
		kind,
		capacityL,
		minimumL,
		hopperKg,
		version,
		createdAt: now,
		details: detailsOf(row),
	});
}

export async function saveSprayer<Details extends object>(tx: WriteDb, row: SprayerRow<Details>): Promise<void> {
	const { id, name, kind, capacityL, minimumL, hopperKg, version } = row;
	const done = await tx
		.update(sprayer)
		.set({ name, kind, capacityL, minimumL, hopperKg, version: version + 1, details: detailsOf(row) })
		.where(and(eq(sprayer.id, id), eq(sprayer.version, version)));
	invariant(done.changes === 1, 'the sprayer was saved once');
}
