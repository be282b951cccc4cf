import { buildIfStale, page } from '../../electron/host/build.ts';

/** The page is built once, before the workers start their programs. */
export default async function buildPage(): Promise<void> {
	await buildIfStale(page);
}
