import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process';
import { cpSync, globSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { build } from 'vite';

const root = join(import.meta.dirname, '../..');
const NATIVE = ['better-sqlite3', 'electron', 'playwright', 'vite'];

export type Children = {
	/** Starts one of `children/` by its name. */
	start(name: string, args: readonly string[], options?: SpawnOptions): ChildProcess;
	remove(): void;
};

/**
 * Builds the programs that are killed: from their sources they take four times as long to start, and they are started
 * thousands of times. The migrations lie beside, where the database looks for them.
 */
export async function buildChildren(): Promise<Children> {
	const into = join(root, 'build', `torture-${process.pid}`);
	const sources = globSync(join(import.meta.dirname, 'children/*.ts'));
	await build({
		root,
		configFile: false,
		logLevel: 'warn',
		publicDir: false,
		ssr: { target: 'node', noExternal: true, external: NATIVE },
		build: {
			outDir: join(into, 'app'),
			emptyOutDir: true,
			minify: false,
			target: 'node24',
			ssr: true,
			rollupOptions: {
				input: Object.fromEntries(sources.map((file) => [basename(file, '.ts'), file])),
				output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
			},
		},
	});
	cpSync(join(root, 'migrations'), join(into, 'migrations'), { recursive: true });
	const env = { ...process.env, NODE_COMPILE_CACHE: join(into, 'cache') };
	return {
		start: (name, args, options = {}) =>
			spawn(process.execPath, [join(into, 'app', `${name}.js`), ...args], {
				...options,
				env: { ...env, ...options.env },
			}),
		remove: () => rmSync(into, { recursive: true, force: true }),
	};
}

/** What a child said on stdout, line by line; a line cut short does not count. `trouble` is what it said on stderr. */
export type Said = { readonly lines: readonly string[]; readonly trouble: string; readonly killed: boolean };

/** Kills a child some time after its first line, and gives what it had said by then. */
export function killAfterFirstLine(child: ChildProcess, waitMs: number): Promise<Said> {
	return listen(child, (kill) => setTimeout(kill, waitMs));
}

/** Waits for a child that ends by itself. */
export function waitFor(child: ChildProcess): Promise<Said> {
	return listen(child, () => {});
}

function listen(child: ChildProcess, firstLine: (kill: () => void) => void): Promise<Said> {
	return new Promise((done, failed) => {
		let said = '';
		let trouble = '';
		let heard = false;
		child.stderr?.on('data', (piece: Buffer) => {
			trouble += piece.toString();
		});
		child.stdout?.on('data', (piece: Buffer) => {
			said += piece.toString();
			if (heard || !said.includes('\n')) return;
			heard = true;
			firstLine(() => child.kill('SIGKILL'));
		});
		child.once('error', failed);
		child.once('close', (_, signal) => {
			done({ lines: said.split('\n').slice(0, -1), trouble, killed: signal === 'SIGKILL' });
		});
	});
}
