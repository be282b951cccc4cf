import { join } from 'node:path';
import type { Target } from '../host/build.ts';

/**
 * The printed page, built for Node from the components that are shown on screen: `paper.js` gives whole pages of HTML
 * with styles and faces inside. React stays in node_modules.
 */
export const paper: Target = {
	name: 'paper',
	sources: [
		'renderer/paper',
		'renderer/map',
		'renderer/pictures',
		'renderer/look',
		'renderer/format.ts',
		'renderer/held-words.ts',
		'renderer/kind-words.ts',
		'renderer/units.ts',
		'shared/basics',
		'shared/core/display',
		'shared/core/products',
		'shared/core/sprayers/us-customary.ts',
		'shared/core/store',
		'package-lock.json',
	],
	async build(root, into) {
		const { build } = await import('vite');
		await build({
			root,
			configFile: false,
			logLevel: 'warn',
			publicDir: false,
			// A test runner's environment would ask for the development form, which the program's own React does not have.
			oxc: { jsx: { runtime: 'automatic', development: false } },
			build: {
				outDir: into,
				emptyOutDir: false,
				ssr: join(root, 'renderer/paper/paper.tsx'),
				assetsInlineLimit: Number.MAX_SAFE_INTEGER,
				minify: false,
				target: 'node22',
				rollupOptions: { output: { format: 'es', entryFileNames: 'paper.js' } },
			},
		});
	},
};
