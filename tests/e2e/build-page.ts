import { buildIfStale, page, reader } from '../../electron/host/build.ts';

/** The page and the file reader are built once, before the workers start their programs. */
export default async function buildPage(): Promise<void> {
	await buildIfStale(page);
	await buildIfStale(reader);
}
