import type { ContractProcedure, InferSchemaInput, InferSchemaOutput } from '@orpc/contract';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { Book } from '../../db/open-book.ts';
import type { ReadDb, WriteDb, Writer } from '../../db/transaction.ts';
import type { JsonValue } from '../../shared/basics/problem.ts';
import type { Result } from '../../shared/basics/result.ts';

/** Turns a self-contained HTML page into a PDF. Each door brings its own. */
export type Printer = { pdf(html: string): Promise<Result<Uint8Array>> };

/** What a door hands over with a call. Pure procedures need no books. */
export type DoorContext = {
	readonly book?: Book;
	readonly printer?: Printer;
	readonly demo?: boolean;
	readonly log?: (line: string) => void;
	/** Long questions go to a thread of their own: set where a person is waiting at the same process. */
	readonly aside?: boolean;
};

export type QueryContext = {
	readonly db: ReadDb;
	readonly book: Book;
	readonly now: number;
	readonly farm: FarmRow;
	readonly demo: boolean;
	readonly printer: Printer | null;
};

/** Old and new values of a changed row, for the audit line. */
export type Change = {
	readonly table: string;
	readonly id: string;
	readonly before: JsonValue;
	readonly after: JsonValue;
};

/** Inside a command: one transaction, one clock reading, ids made from randomness drawn before it began. */
export type CommandContext = {
	readonly tx: WriteDb;
	readonly now: number;
	readonly farm: FarmRow;
	readonly newId: () => string;
	readonly note: (change: Change) => void;
	/** Names the person for the audit line; until then it is the farm's operator. */
	readonly signedBy: (name: string) => void;
};

type Answer<Output> = Result<Output> | Promise<Result<Output>>;

/**
 * Runs the body in the one transaction of this command. Files are read before, never inside. `into` names other books
 * than those of the door: the ones a restore is about to put in their place.
 */
export type Transact = <Output>(
	body: (context: CommandContext) => Promise<Result<Output>>,
	into?: Writer,
) => Promise<Result<Output>>;

export type PureHandler<Input, Output> = { readonly kind: 'pure'; run(input: Input): Answer<Output> };
export type QueryHandler<Input, Output> = {
	readonly kind: 'query';
	/** It may take long and is answered in a thread of its own. */
	readonly long: boolean;
	/** Answers though the books are damaged: it says so, or is the way out of it. */
	readonly onDamaged?: true;
	run(context: QueryContext, input: Input): Answer<Output>;
};
export type CommandHandler<Input, Output> = {
	readonly kind: 'command';
	readonly onDamaged?: true;
	act(context: QueryContext, input: Input, transact: Transact): Promise<Result<Output>>;
};
export type Handler<Input, Output> =
	| PureHandler<Input, Output>
	| QueryHandler<Input, Output>
	| CommandHandler<Input, Output>;

/** An answer may be read-only all the way down; it goes on the wire as it is. */
export type ReadOnly<Value> = Value extends readonly (infer Item)[]
	? readonly ReadOnly<Item>[]
	: Value extends object
		? { readonly [Name in keyof Value]: ReadOnly<Value[Name]> }
		: Value;

/** The handler a declared procedure needs, and so on down the contract. */
export type HandlerFor<Declared> =
	// biome-ignore lint/suspicious/noExplicitAny: error map and meta play no part in the handler's type
	Declared extends ContractProcedure<infer Input, infer Output, any, any>
		? Handler<InferSchemaOutput<Input>, ReadOnly<InferSchemaInput<Output>>>
		: { readonly [Name in keyof Declared]: HandlerFor<Declared[Name]> };

/** Computes from the input alone. */
export function computes<Input, Output>(run: (input: Input) => Answer<Output>): PureHandler<Input, Output> {
	return { kind: 'pure', run };
}

/** Reads the books. */
export function reads<Input, Output>(
	run: (context: QueryContext, input: Input) => Answer<Output>,
): QueryHandler<Input, Output> {
	return { kind: 'query', long: false, run };
}

/** Reads the books for a long time: reports, checks of every row. */
export function readsLong<Input, Output>(
	run: (context: QueryContext, input: Input) => Answer<Output>,
): QueryHandler<Input, Output> {
	return { kind: 'query', long: true, run };
}

/** Writes: the whole body is one transaction. */
export function writes<Input, Output>(
	run: (context: CommandContext, input: Input) => Promise<Result<Output>>,
): CommandHandler<Input, Output> {
	return { kind: 'command', act: (_, input, transact) => transact((context) => run(context, input)) };
}

/** Writes after reading something outside the books, such as a file. */
export function preparesAndWrites<Input, Output>(
	act: (context: QueryContext, input: Input, transact: Transact) => Promise<Result<Output>>,
): CommandHandler<Input, Output> {
	return { kind: 'command', act };
}

/** Answers though the books are damaged. */
export function onDamaged<Kind extends object>(handler: Kind): Kind & { readonly onDamaged: true } {
	return { ...handler, onDamaged: true };
}
