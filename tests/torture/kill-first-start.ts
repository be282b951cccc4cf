import { spawn } from 'node:child_process';
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { openBook } from '../../db/open-book.ts';

export type StartCount = {
	readonly kills: number;
	readonly killedHalfWay: number;
	readonly unopenable: readonly string[];
};

const CHILD = join(import.meta.dirname, 'posting-child.ts');
/** From before the database file exists to after the first posting, on a slow machine. */
const LONGEST_WAIT_MS = 900;

/** Kills the program while it makes its first books, and opens them again: there is a whole database or none. */
export async function killFirstStart(folder: string, kills: number, random: () => number): Promise<StartCount> {
	const unopenable: string[] = [];
	let killedHalfWay = 0;
	for (let kill = 0; kill < kills; kill++) {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder, { recursive: true });
		if (!(await oneKill(folder, random() * LONGEST_WAIT_MS))) killedHalfWay += 1;
		const opened = openBook({ folder });
		if (opened.ok) opened.value.close();
		else unopenable.push(opened.problem.code);
	}
	return { kills, killedHalfWay, unopenable };
}

/** Whether it had acknowledged a posting by then. */
function oneKill(folder: string, waitMs: number): Promise<boolean> {
	return new Promise((done) => {
		const child = spawn(process.execPath, [CHILD, folder, '0'], { stdio: ['ignore', 'pipe', 'ignore'] });
		let posted = false;
		child.stdout.on('data', () => {
			posted = true;
		});
		setTimeout(() => child.kill('SIGKILL'), waitMs);
		child.once('exit', () => done(posted));
	});
}
