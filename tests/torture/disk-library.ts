import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

/** The disk that remembers or fails, compiled where there is a C compiler; else why there is none. */
export function compileDisk(folder: string): { path: string } | { missing: string } {
	if (process.platform !== 'linux') return { missing: `needs Linux, this is ${process.platform}` };
	const path = join(folder, 'disk.so');
	const args = ['-O2', '-Wall', '-Werror', '-shared', '-fPIC', '-o', path, join(import.meta.dirname, 'disk.c'), '-ldl'];
	const done = spawnSync('gcc', args, { encoding: 'utf8' });
	if (done.error) return { missing: 'needs gcc, which is not installed' };
	return done.status === 0 ? { path } : { missing: `gcc could not compile disk.c: ${done.stderr}` };
}
