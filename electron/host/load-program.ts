import type { Printer } from '../procedures/handler.ts';
import type { Log } from './log.ts';
import type { Program } from './program.ts';

/** The program behind the doors. Loaded when first needed, so that a computed answer does not wait for the database. */
export async function loadProgram(printer: Printer, log: Log): Promise<Program> {
	const [{ createRouter }, { openBook }] = await Promise.all([
		import('../procedures/router.ts'),
		import('../../db/open-book.ts'),
	]);
	return { router: createRouter(), openBook, printer, log };
}
