import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { type AnyRouter, call, getRouter, isProcedure, ORPCError } from '@orpc/server';
import type { ProblemCode, ProblemDetails } from '../../shared/basics/problem.ts';
import { invariant, type Result } from '../../shared/basics/result.ts';
import { toProblem, wireProblem } from '../../shared/contract/wire-error.ts';
import { callOwner, NobodyListens } from '../host/local-line.ts';
import { becomeOwner, type Owner } from '../host/owner.ts';
import { readOwnerNote } from '../host/owner-note.ts';
import type { BookName, Program } from '../host/program.ts';
import { wireRefusal, withAbsolutePath } from '../host/rpc.ts';
import type { DoorContext } from '../procedures/handler.ts';
import { findProcedure, listProcedures } from './list.ts';

/** What one run of the command line works with. */
export type CallHost = {
	/** Where relative file names of the caller begin. */
	readonly folder: string;
	/** Longest wait for another process to let go of the data folder. */
	readonly patienceMs: number;
	readStdin(): string;
	prepareDataFolder(asked: string | undefined): Result<string>;
	loadProgram(dataFolder: string | null): Promise<Program>;
	out(text: string): void;
	err(text: string): void;
};

export const usage = 'call [--data DIR] [--demo] <procedure> [JSON | @FILE | -]   or   call --list';

/** Runs one procedure: its answer alone on stdout and 0, or one line of error on stderr and 1. */
export async function runCall(args: readonly string[], host: CallHost): Promise<0 | 1> {
	try {
		const answer = await answerTo(readArguments(args), host);
		host.out(`${JSON.stringify(answer ?? null)}\n`);
		return 0;
	} catch (error) {
		const problem = error instanceof Refused ? wireProblem(error.problem) : toProblem(error);
		if (problem.code === 'internal' && !(error instanceof ORPCError)) host.err(`${traceOf(error)}\n`);
		host.err(`${JSON.stringify({ error: problem })}\n`);
		return 1;
	}
}

type Arguments = {
	readonly list: boolean;
	readonly data: string | undefined;
	readonly book: BookName;
	readonly name: string | undefined;
	readonly input: string | undefined;
};

class Refused extends Error {
	readonly problem: { code: ProblemCode; details: ProblemDetails };
	constructor(code: ProblemCode, details: ProblemDetails) {
		super(code);
		this.problem = { code, details };
	}
}

function readArguments(args: readonly string[]): Arguments {
	const plain: string[] = [];
	let data: string | undefined;
	let book: BookName = 'farm';
	let list = false;
	for (let index = 0; index < args.length; index++) {
		const arg = args[index] ?? '';
		if (arg === '--list') list = true;
		else if (arg === '--demo') book = 'demo';
		else if (arg.startsWith('--data=')) data = arg.slice('--data='.length);
		else if (arg === '--data') data = args[++index];
		else if (arg.startsWith('--')) throw new Refused('input.invalid', { path: arg, why: `not an option. ${usage}` });
		else plain.push(arg);
		if (arg.startsWith('--data') && !data)
			throw new Refused('input.invalid', { path: '--data', why: 'a folder must follow' });
	}
	const [name, input, extra] = plain;
	if (extra !== undefined) throw new Refused('input.invalid', { path: extra, why: `one argument too many. ${usage}` });
	return { list, data, book, name, input };
}

async function answerTo({ list, data, book, name, input }: Arguments, host: CallHost): Promise<unknown> {
	if (list) return listProcedures();
	if (name === undefined) throw new Refused('input.invalid', { path: 'procedure', why: `none was named. ${usage}` });
	const procedure = findProcedure(name);
	if (!procedure) throw new Refused('procedure.unknown', { name });
	const value = withAbsolutePath(readInput(input, host), host.folder);
	if (procedure.kind === 'pure') {
		const { router } = await host.loadProgram(null);
		return callRouter(router, procedure.path, value, {});
	}
	const folder = host.prepareDataFolder(data);
	if (!folder.ok) throw new Refused(folder.problem.code, folder.problem.details);
	return callWithBooks(folder.value, book, procedure.path, value, host);
}

/** Through the owner of the folder where there is one; else as its owner for the length of this call. */
async function callWithBooks(
	folder: string,
	book: BookName,
	path: readonly string[],
	input: unknown,
	host: CallHost,
): Promise<unknown> {
	const program = await host.loadProgram(folder);
	for (const patience = Date.now() + host.patienceMs; ; await sleep(20 + (process.pid % 30))) {
		const owner = await becomeOwner({ folder, door: 'call', program });
		if (owner && !owner.ok) throw new Refused(owner.problem.code, owner.problem.details);
		if (owner) return callAsOwner(owner.value, program, book, path, input);
		const note = readOwnerNote(folder);
		if (note?.address) {
			try {
				return await callOwner(note, book, path, input);
			} catch (error) {
				if (!(error instanceof NobodyListens)) throw error;
			}
		}
		if (Date.now() > patience)
			throw new Refused('data.inUse', { folder, holder: note ? `process ${note.pid}` : 'unknown' });
	}
}

async function callAsOwner(
	owner: Owner,
	program: Program,
	book: BookName,
	path: readonly string[],
	input: unknown,
): Promise<unknown> {
	try {
		const context = owner.contextFor(book);
		if (!context.ok) throw wireRefusal(context.problem);
		return await callRouter(program.router, path, input, context.value);
	} finally {
		await owner.close();
	}
}

function callRouter(
	router: AnyRouter,
	path: readonly string[],
	input: unknown,
	context: DoorContext,
): Promise<unknown> {
	const procedure = getRouter(router, path);
	invariant(isProcedure(procedure), `${path.join('.')} is declared but not implemented`);
	return call(procedure, input, { context, path });
}

function readInput(text: string | undefined, host: CallHost): unknown {
	const from = text === '-' ? 'stdin' : (text ?? '');
	const json =
		text === undefined
			? '{}'
			: text === '-'
				? host.readStdin()
				: text.startsWith('@')
					? readFile(text.slice(1), host)
					: text;
	try {
		return JSON.parse(json.replace(/^\uFEFF/, ''));
	} catch (error) {
		const where = from === 'stdin' || from.startsWith('@') ? from : 'input';
		throw new Refused('input.invalid', {
			path: where,
			why: `not JSON (${error instanceof Error ? error.message : String(error)})`,
		});
	}
}

function traceOf(error: unknown): string {
	return error instanceof Error ? (error.stack ?? error.message) : String(error);
}

function readFile(name: string, host: CallHost): string {
	const file = resolve(host.folder, name);
	try {
		return readFileSync(file, 'utf8');
	} catch {
		throw new Refused('file.missing', { file });
	}
}
