import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { openBook } from '../../db/open-book.ts';

export type KillCount = {
	readonly kills: number;
	readonly acknowledged: number;
	readonly stored: number;
	/** Acknowledged and not on the books. */
	readonly lost: readonly string[];
	/** On the books in part: a log without its movements, records or audit line, or the other way round. */
	readonly half: readonly string[];
	readonly chainsWhole: boolean;
};

const CHILD = join(import.meta.dirname, 'posting-child.ts');
const LONGEST_WAIT_MS = 30;

/** Starts a process that logs loads, kills it at some moment after its first acknowledgement, and looks at what is there. */
export async function killWhilePosting(folder: string, kills: number, random: () => number): Promise<KillCount> {
	const acknowledged = new Set<string>();
	for (let round = 0; round < kills; round++) {
		for (const key of await oneKill(folder, round, random() * LONGEST_WAIT_MS)) acknowledged.add(key);
	}
	return { kills, acknowledged: acknowledged.size, ...lookAt(folder, acknowledged) };
}

function oneKill(folder: string, round: number, waitMs: number): Promise<string[]> {
	return new Promise((done, failed) => {
		const child = spawn(process.execPath, [CHILD, folder, String(round)], { stdio: ['ignore', 'pipe', 'pipe'] });
		let said = '';
		let trouble = '';
		let dying = false;
		child.stderr.on('data', (chunk: Buffer) => {
			trouble += chunk.toString();
		});
		child.stdout.on('data', (chunk: Buffer) => {
			said += chunk.toString();
			if (dying) return;
			dying = true;
			setTimeout(() => child.kill('SIGKILL'), waitMs);
		});
		child.once('exit', (_, signal) => {
			if (signal !== 'SIGKILL') return failed(new Error(`the process ended by itself: ${trouble}`));
			// A line cut short was not acknowledged.
			done(said.split('\n').slice(0, -1));
		});
	});
}

function lookAt(folder: string, acknowledged: ReadonlySet<string>): Omit<KillCount, 'kills' | 'acknowledged'> {
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(JSON.stringify(opened.problem));
	const { reader } = opened.value;
	try {
		const logged = new Map(
			(
				reader.prepare("SELECT command_key AS key, output FROM audit WHERE procedure = 'jobs.logLoad'").all() as {
					key: string;
					output: string;
				}[]
			).map(({ key, output }) => [(JSON.parse(output) as { logId: string }).logId, key]),
		);
		const logs = reader.prepare('SELECT id FROM load_log').pluck().all() as string[];
		const half: string[] = [];
		for (const id of logs) {
			const poured = reader
				.prepare("SELECT count(*) FROM movement WHERE load_log_id = ? AND kind = 'load'")
				.pluck()
				.get(id);
			const records = reader.prepare('SELECT count(*) FROM spray_record WHERE load_log_id = ?').pluck().get(id);
			if (!logged.has(id) || Number(poured) < 2 || records !== 2) half.push(id);
		}
		for (const id of logged.keys()) if (!logs.includes(id)) half.push(id);
		const strays = reader
			.prepare('SELECT id FROM movement WHERE load_log_id IS NOT NULL AND load_log_id NOT IN (SELECT id FROM load_log)')
			.pluck()
			.all() as string[];
		const keys = new Set(logged.values());
		const heads = reader.prepare('SELECT name, seq FROM chain').all() as { name: string; seq: number }[];
		const counts: Record<string, number> = {
			audit: Number(reader.prepare('SELECT count(*) FROM audit').pluck().get()),
			ledger: Number(reader.prepare('SELECT count(*) FROM movement').pluck().get()),
			records: Number(reader.prepare('SELECT count(*) FROM spray_record').pluck().get()),
		};
		return {
			stored: logs.length,
			lost: [...acknowledged].filter((key) => !keys.has(key)),
			half: [...half, ...strays],
			chainsWhole: heads.every(({ name, seq }) => counts[name] === seq),
		};
	} finally {
		opened.value.close();
	}
}
