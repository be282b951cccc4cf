import type { AnyRouter } from '@orpc/server';
import type { Book } from '../../db/open-book.ts';
import type { Result } from '../../shared/basics/result.ts';
import type { Printer } from '../procedures/handler.ts';
import type { Log } from './log.ts';

/** The two books of a data folder: the farm's own, and an invented farm to try things on. */
export type BookName = 'farm' | 'demo';
export const bookNames: readonly BookName[] = ['farm', 'demo'];

/** What a door needs of the program behind it. */
export type Program = {
	readonly router: AnyRouter;
	openBook(options: { folder: string; checkAsideAbove?: number; evenDamaged?: boolean }): Result<Book>;
	readonly printer: Printer;
	readonly log: Log;
};
