import type { Book } from '../../../../db/open-book.ts';
import type { Handler } from '../../../../electron/procedures/handler.ts';
import { handlers } from '../../../../electron/procedures/handlers.ts';
import { perform } from '../../../../electron/procedures/perform.ts';
import type { Result } from '../../../../shared/basics/result.ts';
import { contract } from '../../../../shared/contract/contract.ts';

/** What happened to a chemical store: what came and went at what time, and what was counted. Whole µL or mg. */
export type Model = {
	readonly events: {
		readonly store: string;
		readonly productId: string;
		readonly at: number;
		readonly amount: number;
	}[];
	readonly counts: {
		readonly store: string;
		readonly productId: string;
		readonly freezeAt: number;
		readonly counted: number;
	}[];
};

/**
 * The store as plain arithmetic, beside the real one; it knows nothing of lots, containers or adjustments.
 *
 *   book at a time = what was counted last by then + what came and went after that count
 *
 * Of one store, or of all of them together.
 */
export function bookOf(model: Model, productId: string, until = Number.POSITIVE_INFINITY, store?: string): number {
	const stores = store ?? new Set([...model.events, ...model.counts].map((each) => each.store));
	if (typeof stores !== 'string')
		return [...stores].reduce((sum, each) => sum + bookOf(model, productId, until, each), 0);
	const events = model.events.filter((event) => event.store === stores);
	const counts = model.counts.filter((count) => count.store === stores);
	let last: Model['counts'][number] | undefined;
	for (const count of counts) {
		if (count.productId !== productId || count.freezeAt > until) continue;
		if (!last || count.freezeAt >= last.freezeAt) last = count;
	}
	const since = last?.freezeAt ?? Number.NEGATIVE_INFINITY;
	return events
		.filter((event) => event.productId === productId && event.at > since && event.at <= until)
		.reduce((sum, event) => sum + event.amount, last?.counted ?? 0);
}

type Declared = { readonly '~orpc': { readonly inputSchema: { parse(input: unknown): unknown } } };
type ByName<Value> = Readonly<Record<string, Readonly<Record<string, Value>>>>;
export type Caller = <Value = unknown>(name: `${string}.${string}`, input: object) => Promise<Result<Value>>;

/** Calls procedures as a door would, at a time of one's own choosing. */
export function callerAt(book: Book, clock: { readonly now: number }): Caller {
	return async <Value>(name: `${string}.${string}`, input: object) => {
		const [module = '', procedure = ''] = name.split('.');
		const declared = (contract as unknown as ByName<Declared>)[module]?.[procedure];
		const handler = (handlers as unknown as ByName<Handler<unknown, Value>>)[module]?.[procedure];
		if (!declared || !handler) throw new Error(`there is no ${name}`);
		const parsed = declared['~orpc'].inputSchema.parse(input);
		return perform(handler, { name, input: parsed, door: { book }, now: clock.now });
	};
}
