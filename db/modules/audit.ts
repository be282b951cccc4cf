import { and, desc, eq, inArray, like } from 'drizzle-orm';
import { link } from '../chain.ts';
import { audit } from '../tables.ts';
import type { ReadDb, WriteDb } from '../transaction.ts';

export const PROGRAM = 'fillmark 0.1.0';

/** What an earlier call with the same key did, if there was one. */
export async function commandBefore(
	db: ReadDb,
	procedure: string,
	key: string,
): Promise<{ inputHash: string; output: string } | null> {
	const [row] = await db
		.select({ inputHash: audit.inputHash, output: audit.output })
		.from(audit)
		.where(and(eq(audit.procedure, procedure), eq(audit.commandKey, key)));
	return row ?? null;
}

export type AuditLine = {
	readonly id: string;
	readonly at: number;
	readonly procedure: string;
	readonly key: string;
	readonly inputHash: string;
	readonly inputText: string;
	readonly output: string;
	readonly changes: readonly unknown[];
	readonly who: string;
	readonly farm: { readonly id: string; readonly userId: string; readonly deviceId: string };
};

/** The one audit line of a command, written in its own transaction. */
export async function writeAudit(tx: WriteDb, line: AuditLine): Promise<void> {
	const [row] = await link(tx, 'audit', [
		{
			id: line.id,
			at: line.at,
			procedure: line.procedure,
			commandKey: line.key,
			inputHash: line.inputHash,
			input: line.inputText,
			output: line.output,
			changes: JSON.stringify(line.changes),
			who: line.who,
			farmId: line.farm.id,
			userId: line.farm.userId,
			deviceId: line.farm.deviceId,
			program: PROGRAM,
		},
	]);
	if (row) await tx.insert(audit).values(row);
}

/** The newest audit lines. */
export async function readAudit(db: ReadDb, limit: number) {
	return db.select().from(audit).orderBy(desc(audit.seq)).limit(limit);
}

/** Audit lines of some procedures whose input names a row, newest first. */
export async function auditOf(db: ReadDb, procedures: readonly string[], id: string) {
	return db
		.select({ at: audit.at, who: audit.who, changes: audit.changes })
		.from(audit)
		.where(and(inArray(audit.procedure, [...procedures]), like(audit.input, `%"${id}"%`)))
		.orderBy(desc(audit.seq));
}
