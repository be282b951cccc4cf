/** Memory of another process, as its operating system counts it. Heap limits inside the process do not see array buffers. */
import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** Resident bytes of a process, or null when they cannot be had (it has ended). */
export async function residentBytes(pid: number, platform: NodeJS.Platform = process.platform): Promise<number | null> {
	try {
		if (platform === 'linux') {
			const status = await readFile(`/proc/${pid}/status`, 'utf8');
			return kilobytes(/^VmRSS:\s*(\d+) kB/m.exec(status)?.[1]);
		}
		if (platform === 'win32') {
			const { stdout } = await run('tasklist', ['/FI', `PID eq ${pid}`, '/FO', 'CSV', '/NH']);
			return kilobytes(/"([\d.,\s]+) K"\s*$/.exec(stdout.trim())?.[1]?.replace(/\D/g, ''));
		}
		const { stdout } = await run('ps', ['-o', 'rss=', '-p', String(pid)]);
		return kilobytes(/\d+/.exec(stdout)?.[0]);
	} catch {
		return null;
	}
}

function kilobytes(digits: string | undefined): number | null {
	return digits === undefined || digits === '' ? null : Number(digits) * 1024;
}
