import { ORPCError, os } from '@orpc/server';
import { z } from 'zod';
import { openBook } from '../../../db/open-book.ts';
import type { Program } from '../../../electron/host/program.ts';
import type { DoorContext } from '../../../electron/procedures/handler.ts';
import { refuse } from '../../../shared/basics/result.ts';

const Measure = z.strictObject({ geometry: z.object({ type: z.string() }), areas: z.array(z.number()).optional() });

/**
 * A small program behind the doors, with procedures that show what a door hands over: the doors do not care what a
 * procedure computes. Its books are real ones. `touched` counts the procedures that were run.
 */
export function testProgram(): Program & { touched(): number } {
	let calls = 0;
	const base = os.$context<DoorContext>().use(({ next }) => {
		calls += 1;
		return next();
	});
	const router = {
		fields: {
			measure: base.input(Measure).handler(({ context, input }) => ({ opened: context.book !== undefined, input })),
			list: base.handler(({ context }) => ({ folder: context.book?.folder, demo: context.demo })),
			import: base.input(z.object({ path: z.string() })).handler(({ input }) => input),
			get: base.input(z.object({ ms: z.number() })).handler(async ({ input }) => {
				await new Promise((done) => setTimeout(done, input.ms));
				return 'answered';
			}),
		},
		store: {
			receive: base.handler(() => {
				throw new ORPCError('store.short', { status: 422, data: { have: 1, unit: 'L', product: 'Alder', need: 2 } });
			}),
			onHand: base.handler(() => {
				throw new Error('a secret of the inside');
			}),
		},
	};
	const printer = { pdf: async () => refuse('pdf.noBrowser') };
	return { router, openBook, printer, log: () => {}, touched: () => calls };
}
