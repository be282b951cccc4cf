import { z } from 'zod';
import { command, Key, Nothing, query } from './procedure.ts';

const BackupReport = z.strictObject({
	ok: z.boolean(),
	path: z.string(),
	records: z.int(),
	movements: z.int(),
	head: z.string(),
	sha256: z.string(),
	madeAt: z.string(),
});

export const upkeepContract = {
	backup: query(
		'Writes a verified copy of the books to one file, never over an older one',
		z.strictObject({ path: z.string().min(1) }),
		BackupReport,
	),
	verifyBackup: query(
		'Opens a backup and checks every table, sum and chain in it',
		z.strictObject({ path: z.string().min(1) }),
		BackupReport,
	),
	restore: command(
		'Replaces the books by a backup; the present ones are set aside, not lost',
		z.strictObject({ key: Key.optional(), path: z.string().min(1) }),
		z.strictObject({ ok: z.boolean(), path: z.string(), setAside: z.string() }),
	),
	opening: query(
		'Whether the books were looked through since they were opened; until then they are read, and what is entered waits',
		Nothing,
		z.strictObject({
			state: z.enum(['under way', 'sound', 'damaged']),
			why: z.string().nullable().describe('what is wrong, where they are damaged'),
			megabytes: z.int().describe('how much is looked through; 0: it was done before they opened'),
			forS: z.int(),
		}),
	),
	buildDemo: command(
		'Fills the demonstration book with an invented farm; refused for the farm’s own records',
		Nothing,
		z.strictObject({ fields: z.int() }),
	),
	audit: query(
		'Who changed what and when, newest first',
		z.strictObject({ limit: z.int().positive().max(10_000).default(200) }),
		z.array(
			z.strictObject({
				seq: z.int(),
				at: z.string(),
				procedure: z.string(),
				who: z.string(),
				input: z.string(),
				changes: z.string(),
			}),
		),
	),
	about: query(
		'Where these books are kept and what shape they are in',
		Nothing,
		z.strictObject({
			folder: z.string(),
			version: z.string(),
			sqlite: z.string(),
			schema: z.int(),
			records: z.int(),
			movements: z.int(),
			begins: z.string().nullable().describe('the day of the first record or movement; null: nothing is on the books'),
			demo: z.boolean(),
		}),
	),
};
