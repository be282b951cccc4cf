import { cpSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { join } from 'node:path';
import type { InlineConfig, Plugin } from 'vite';

/**
 * How the desktop program is built: `app/main.js` and the file reader for Electron's Node, `app/preload.cjs` as the one
 * CommonJS file that a sandboxed window loads, and the migrations where the database looks for them. Packages stay in
 * node_modules.
 */
export function desktopBuilds(root: string, into: string): InlineConfig[] {
	const external = ['electron', ...builtinModules, ...builtinModules.map((name) => `node:${name}`)];
	const shared: InlineConfig = { root, configFile: false, logLevel: 'warn', publicDir: false };
	const output = { outDir: join(into, 'app'), emptyOutDir: false, minify: false, target: 'node24' } as const;
	return [
		{
			...shared,
			plugins: [electronsReader(root), migrationsBeside(root, into)],
			ssr: { target: 'node' },
			build: {
				...output,
				ssr: true,
				rollupOptions: {
					external,
					input: {
						main: join(root, 'electron/main/main.ts'),
						reader: join(root, 'electron/reader/main.ts'),
						'ground-thread': join(root, 'electron/files/ground-thread.ts'),
						'page-check-thread': join(root, 'db/page-check-thread.ts'),
						'aside-thread': join(root, 'electron/procedures/aside-thread.ts'),
					},
					output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
				},
			},
		},
		{
			...shared,
			build: {
				...output,
				lib: { entry: join(root, 'electron/preload/preload.ts'), formats: ['cjs'], fileName: () => 'preload.cjs' },
				rollupOptions: { external },
			},
		},
	];
}

/** Electron's Node cannot be forked once its fuses are set; the reader runs as a utility process there. */
function electronsReader(root: string): Plugin {
	return {
		name: 'fillmark-electrons-reader',
		enforce: 'pre',
		resolveId: (source) =>
			source.endsWith('/forked-process.ts') ? join(root, 'electron/main/utility-process.ts') : null,
	};
}

function migrationsBeside(root: string, into: string): Plugin {
	return {
		name: 'fillmark-migrations',
		closeBundle: () => cpSync(join(root, 'migrations'), join(into, 'migrations'), { recursive: true }),
	};
}
