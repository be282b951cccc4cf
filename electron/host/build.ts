import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';

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

/** The file reader as one file: started from its sources it takes a tenth of a second longer, for each file. */
export const reader: Target = {
	name: 'reader',
	sources: ['electron/reader', 'electron/files', 'shared', 'package-lock.json'],
	async build(root, into) {
		const { build } = await import('vite');
		await build({
			root,
			configFile: false,
			logLevel: 'warn',
			publicDir: false,
			ssr: { noExternal: true, external: ['better-sqlite3'] },
			build: {
				ssr: true,
				outDir: into,
				emptyOutDir: false,
				minify: false,
				target: 'node24',
				rollupOptions: {
					input: { main: join(root, 'electron/reader/main.ts') },
					output: { format: 'es', entryFileNames: '[name].js' },
				},
			},
		});
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
	const fresh = `${built}.${process.pid}`;
	rmSync(fresh, { recursive: true, force: true });
	mkdirSync(fresh, { recursive: true });
	try {
		await target.build(base, fresh);
		writeFileSync(join(fresh, '.stamp'), wanted);
		putInPlace(fresh, built);
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

/** Two starts may build at once; the later one's folder stays. */
function putInPlace(fresh: string, built: string): void {
	const old = `${built}.old.${process.pid}`;
	if (existsSync(built)) renameSync(built, old);
	renameSync(fresh, built);
	rmSync(old, { recursive: true, force: true });
}
