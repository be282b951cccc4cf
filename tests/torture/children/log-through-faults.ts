/**
 * Logs loads and keeps sheets while the disk fails, and tries again under the same key once it is sound. Says what was acknowledged and
 * what was refused in a file. `die`: ends at the first refusal, as the power might.
 */
import { rmSync, writeFileSync } from 'node:fs';
import { toProblem } from '../../../shared/contract/wire-error.ts';
import { apiOf, layOut, logLoadWithSheet, opened } from './farm.ts';

const LOADS = 6;
const [folder = '', armed = '', result = '', how = ''] = process.argv.slice(2);
const book = opened(folder);
book.writer.sqlite.pragma('wal_autocheckpoint = 8');
const api = apiOf(book);
const farm = await layOut(api, book);
const told = {
	acknowledged: [] as string[],
	refused: [] as [key: string, code: string][],
	again: [] as string[],
	/** Those that this process sees when it ends. */
	commands: 0,
};
const tell = () => {
	told.commands = Number(book.reader.prepare('SELECT count(*) FROM audit').pluck().get());
	writeFileSync(result, JSON.stringify(told));
};

writeFileSync(armed, '');
for (let load = 0; load < LOADS; load++) {
	const key = `load ${load}`;
	try {
		await logLoadWithSheet(api, farm, key);
		told.acknowledged.push(key);
	} catch (error) {
		told.refused.push([key, toProblem(error).code]);
		if (how !== 'die') continue;
		tell();
		process.kill(process.pid, 'SIGKILL');
	}
}
rmSync(armed);
for (const [key] of told.refused) {
	await logLoadWithSheet(api, farm, key);
	told.again.push(key);
}
tell();
book.close();
