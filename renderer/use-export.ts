import { useState } from 'react';
import { type Api, apiOf, useBook } from './api.ts';
import { downloadExported } from './door.ts';
import { problemOf, type ShownProblem } from './problem.ts';

export type Export = {
	readonly run: () => Promise<void>;
	readonly busy: boolean;
	readonly problem: ShownProblem | undefined;
	/** Where the file was written, once it was. */
	readonly path: string | undefined;
};

/**
 * A file that the program writes and hands over: a browser downloads it. With `name`, a window that can ask for a place
 * asks, and passes it on to `write`.
 */
export function useExport(
	write: (api: Api, path: string | undefined) => Promise<{ readonly path: string }>,
	name?: string,
): Export {
	const book = useBook();
	const [busy, setBusy] = useState(false);
	const [problem, setProblem] = useState<ShownProblem>();
	const [path, setPath] = useState<string>();

	async function run(): Promise<void> {
		setBusy(true);
		setProblem(undefined);
		try {
			const target = name === undefined ? undefined : await window.fillmark?.pickTarget?.(name);
			if (target === null) return;
			const written = await write(await apiOf(book), target);
			setPath(written.path);
			if (target === undefined) downloadExported(book, written.path);
		} catch (error) {
			setProblem(problemOf(error));
		} finally {
			setBusy(false);
		}
	}

	return { run, busy, problem, path };
}
