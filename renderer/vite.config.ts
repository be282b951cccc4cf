import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

/** The page may load from its own origin only: nothing is inlined as data, and every asset carries a hash in its name. */
export default defineConfig({
	root: import.meta.dirname,
	base: './',
	plugins: [react()],
	build: {
		outDir: '../build/renderer',
		emptyOutDir: true,
		target: 'chrome130',
		assetsInlineLimit: 0,
		modulePreload: { polyfill: false },
		/* Read from this computer's own disk, where the size of one file costs nothing. */
		chunkSizeWarningLimit: Number.POSITIVE_INFINITY,
	},
});
