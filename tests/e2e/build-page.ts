import { buildIfStale, page, program } from '../../electron/host/build.ts';

/** The page and the program behind it are built once, before the workers start their programs. */
export default async function buildPage(): Promise<void> {
	await buildIfStale(page);
	await buildIfStale(program);
}
