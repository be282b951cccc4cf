/**
 * Logs loads and keeps sheets in the books of a folder, and says each key once it is acknowledged. Killed from outside, or by itself
 * after `loads`. The other options are the sabotage of a control: what must then be found missing.
 */
import { openSync, writeSync } from 'node:fs';
import { apiOf, layOut, logLoadWithSheet, opened } from './farm.ts';

type Options = {
	readonly folder: string;
	readonly round: string;
	readonly loads?: number;
	/** A file to say it in, instead of stdout. */
	readonly sayIn?: string;
	/** Says a key before its load is logged. */
	readonly tooEarly?: boolean;
	readonly synchronous?: 'NORMAL';
	/** Pages in the write-ahead log before they go into the main file; the fewer, the more is in motion. */
	readonly pagesInLog?: number;
};

const options = JSON.parse(process.argv[2] ?? '') as Options;
const book = opened(options.folder);
const { sqlite } = book.writer;
if (options.synchronous) sqlite.pragma(`synchronous = ${options.synchronous}`);
if (options.pagesInLog) sqlite.pragma(`wal_autocheckpoint = ${options.pagesInLog}`);
const said = options.sayIn ? openSync(options.sayIn, 'a') : 1;
const api = apiOf(book);
const farm = await layOut(api, book);

for (let count = 0; count < (options.loads ?? Number.POSITIVE_INFINITY); count++) {
	const key = `${options.round}-${count}`;
	if (options.tooEarly) writeSync(said, `${key}\n`);
	await logLoadWithSheet(api, farm, key);
	if (!options.tooEarly) writeSync(said, `${key}\n`);
}
process.kill(process.pid, 'SIGKILL');
