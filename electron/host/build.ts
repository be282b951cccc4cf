import { createHash } from 'node:crypto';
import {
	cpSync,
	existsSync,
	mkdirSync,
	mkdtempSync,
	readdirSync,
	readFileSync,
	renameSync,
	rmSync,
	statSync,
	writeFileSync,
} from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';

/** A part of the program that is built before it can be shown: into `build/<name>`, from these sources. */
export type Target = {
	readonly name: string;
	readonly sources: readonly string[];
	build(root: string, into: string): Promise<void>;
};

const root = join(import.meta.dirname, '..', '..');

export const page: Target = {
	name: 'renderer',
	sources: ['renderer', 'shared', 'package-lock.json'],
	async build(root, into) {
		const { build } = await import('vite');
		const configFile = join(root, 'renderer', 'vite.config.ts');
		await build({
			root: join(root, 'renderer'),
			configFile,
			logLevel: 'warn',
			build: { outDir: into, emptyOutDir: true },
		});
	},
};

/**
 * The loopback and the command line door with all behind them, the file reader and the reading thread, in few files: Node
 * takes more than a second to read the same from its sources, for each process and thread anew.
 */
export const program: Target = {
	name: 'program',
	sources: ['electron', 'db', 'shared', 'migrations', 'package-lock.json'],
	async build(root, into) {
		const { build } = await import('vite');
		const app = join(into, 'app');
		await build({
			root,
			configFile: false,
			logLevel: 'warn',
			publicDir: false,
			ssr: { noExternal: true, external: ['better-sqlite3', 'vite'] },
			build: {
				ssr: true,
				outDir: app,
				emptyOutDir: false,
				minify: false,
				target: 'node24',
				rollupOptions: {
					input: {
						loopback: join(root, 'electron/loopback/run.ts'),
						call: join(root, 'electron/call/answer.ts'),
						reader: join(root, 'electron/reader/main.ts'),
						'ground-thread': join(root, 'electron/files/ground-thread.ts'),
						'page-check-thread': join(root, 'db/page-check-thread.ts'),
						'aside-thread': join(root, 'electron/procedures/aside-thread.ts'),
					},
					output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
				},
			},
		});
		for (const page of ['handover.html', 'handover.js']) {
			cpSync(join(root, 'electron/loopback', page), join(app, page));
		}
		cpSync(join(root, 'migrations'), join(into, 'migrations'), { recursive: true });
	},
};

export const desktop: Target = {
	name: 'desktop',
	sources: ['electron', 'db', 'shared', 'migrations', 'package-lock.json'],
	async build(root, into) {
		const { build } = await import('vite');
		const { desktopBuilds } = await import('../main/desktop-build.ts');
		for (const config of desktopBuilds(root, into)) await build(config);
	},
};

/**
 * Builds what its sources have changed since, beside the old one, and puts it in its place when it is whole. The stamp
 * lies in the built folder itself, so a folder always says what it was built from.
 */
export async function buildIfStale(target: Target, base = root): Promise<string> {
	const built = join(base, 'build', target.name);
	const wanted = stampOf(base, target.sources);
	if (readStamp(built) === wanted) return built;
	mkdirSync(dirname(built), { recursive: true });
	const fresh = mkdtempSync(`${built}.`);
	try {
		await target.build(base, fresh);
		writeFileSync(join(fresh, '.stamp'), wanted);
		putInPlace(fresh, built, wanted);
	} finally {
		rmSync(fresh, { recursive: true, force: true });
	}
	return built;
}

/** SHA-256 over names and contents of all sources, in order of their names. */
export function stampOf(base: string, sources: readonly string[]): string {
	const hash = createHash('sha256');
	for (const file of sources.flatMap((source) => filesOf(join(base, source))).sort()) {
		hash
			.update(`${relative(base, file).replaceAll('\\', '/')}\0`)
			.update(readFileSync(file))
			.update('\0');
	}
	return hash.digest('hex');
}

function filesOf(path: string): string[] {
	const found = statSync(path, { throwIfNoEntry: false });
	if (!found?.isDirectory()) return found ? [path] : [];
	const entries = readdirSync(path, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
	return entries.map((entry) => join(entry.parentPath, entry.name));
}

function readStamp(built: string): string | null {
	try {
		return readFileSync(join(built, '.stamp'), 'utf8');
	} catch {
		return null;
	}
}

/** Several starts may build at once: what the first one laid stays, others may be running from it. */
function putInPlace(fresh: string, built: string, wanted: string): void {
	if (readStamp(built) === wanted) return;
	const old = `${built}.old.${process.pid}`;
	try {
		if (existsSync(built)) renameSync(built, old);
		renameSync(fresh, built);
	} catch (error) {
		if (readStamp(built) !== wanted) throw error;
	} finally {
		rmSync(old, { recursive: true, force: true });
	}
}

/** One file of the built program, as its module. */
export async function importBuilt<Module>(name: 'loopback' | 'call'): Promise<Module> {
	return import(pathToFileURL(join(await buildIfStale(program), 'app', `${name}.js`)).href);
}
