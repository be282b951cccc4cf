import { createHash, randomBytes } from 'node:crypto';
import { commandBefore, writeAudit } from '../../db/modules/audit.ts';
import { readFarm } from '../../db/modules/settings.ts';
import type { Book } from '../../db/open-book.ts';
import { inTransaction } from '../../db/transaction.ts';
import { uuidV7 } from '../../shared/basics/id.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import { askAside } from './aside.ts';
import type { Change, CommandContext, DoorContext, Handler, QueryContext, Transact } from './handler.ts';

export type Call = {
	readonly name: string;
	readonly input: unknown;
	readonly door: DoorContext;
	readonly now: number;
	readonly signal?: AbortSignal | undefined;
};

/** Runs one call: nothing, a read connection or one transaction, by the kind of the procedure. Bugs throw. */
export async function perform<Output>(handler: Handler<unknown, Output>, call: Call): Promise<Result<Output>> {
	if (handler.kind === 'pure') return handler.run(call.input);
	const pages = call.door.book?.pages;
	if (pages?.state === 'damaged' && !handler.onDamaged) {
		return refuse('data.damaged', { file: call.door.book?.file ?? '?', why: pages.why ?? '' });
	}
	const context = await queryContext(call);
	// The thread beside reads the file, and a damaged one is not read.
	if (handler.kind === 'query' && handler.long && call.door.aside && context.book.pages.state !== 'damaged') {
		const { name, input, now, signal } = call;
		const { book, demo, printer } = context;
		return (await askAside(book, { name, input, now, demo, printer, signal })) as Result<Output>;
	}
	if (handler.kind === 'query') return handler.run(context, call.input);
	return handler.act(context, call.input, transactFor(call, context.book));
}

async function queryContext({ door, now }: Call): Promise<QueryContext> {
	const { book } = door;
	invariant(book, 'a door brings the books for anything but a pure procedure');
	const farm = await readFarm(book.read);
	return { db: book.read, book, now, farm, demo: door.demo ?? false, printer: door.printer ?? null };
}

/** The same key twice is one effect and one answer; the same key with other content is refused. */
function transactFor({ name, input, now }: Call, book: Book): Transact {
	const { key = uuidV7(now, randomBytes(10)), ...content } = input as { key?: string };
	const inputText = canonical(content);
	const inputHash = createHash('sha256').update(inputText).digest('hex');
	const newId = idMaker(now);
	return <Output>(body: (context: CommandContext) => Promise<Result<Output>>, into = book.writer) =>
		inTransaction<Result<Output>>(
			into,
			async (tx) => {
				const before = await commandBefore(tx, name, key);
				if (before && before.inputHash !== inputHash) return refuse('key.reused', { key });
				if (before) return ok(JSON.parse(before.output) as Output);
				const farm = await readFarm(tx);
				const changes: Change[] = [];
				let who = farm.operator ?? farm.userId;
				const note = (change: Change) => void changes.push(change);
				const signedBy = (person: string) => {
					who = person;
				};
				const outcome = await body({ tx, now, farm, newId, note, signedBy });
				if (!outcome.ok) return outcome;
				const output = JSON.stringify(outcome.value);
				await writeAudit(tx, {
					id: newId(),
					at: now,
					procedure: name,
					key,
					inputHash,
					inputText,
					output,
					changes,
					who,
					farm,
				});
				return outcome;
			},
			(outcome) => outcome.ok,
		);
}

/** Ids in the order they are asked for, from randomness drawn once: a counter of 26 bits, then 48 random ones (RFC 9562 §6.2). */
export function idMaker(now: number): () => string {
	const random = randomBytes(10);
	let count = 0;
	return () => {
		random[0] = (count >> 22) & 0x0f;
		random[1] = (count >> 14) & 0xff;
		random[2] = (count >> 8) & 0x3f;
		random[3] = count & 0xff;
		count += 1;
		return uuidV7(now, random);
	};
}

/** JSON with sorted keys, so that the same content always gives the same text. */
export function canonical(value: unknown): string {
	return JSON.stringify(value, (_, inner: unknown) => {
		if (inner === null || typeof inner !== 'object' || Array.isArray(inner)) return inner;
		return Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)));
	});
}
