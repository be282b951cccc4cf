import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useRef, useState } from 'react';
import { uuidV7 } from '../shared/basics/id.ts';
import { type Api, apiOf, useBook } from './api.ts';
import { problemOf, type ShownProblem } from './problem.ts';

/** What a page knows of an answer: not yet, refused, or there. An older answer stays up while a new one is fetched. */
export type Asked<Answer> = {
	readonly answer: Answer | undefined;
	readonly problem: ShownProblem | undefined;
	readonly waiting: boolean;
};

/** Asks a pure procedure or a query. `key` names the question; the same key in one book is asked once. */
export function useProcedure<Answer>(
	key: readonly unknown[],
	call: (api: Api, signal: AbortSignal) => Promise<Answer>,
	options: {
		readonly enabled?: boolean;
		readonly keepPrevious?: boolean;
		/** Asked again after so many seconds: others may be writing too. */
		readonly everyS?: number | ((answer: Answer | undefined) => number | undefined);
	} = {},
): Asked<Answer> {
	const book = useBook();
	const { everyS } = options;
	const again = typeof everyS === 'function' ? everyS : () => everyS;
	const question = useQuery({
		queryKey: [book, ...key],
		queryFn: async ({ signal }) => call(await apiOf(book), signal),
		enabled: options.enabled ?? true,
		refetchInterval: ({ state }) => (again(state.data as Answer | undefined) ?? 0) * 1000 || false,
		...(options.keepPrevious ? { placeholderData: (previous: Answer | undefined) => previous as never } : {}),
	});
	return {
		answer: question.data as Answer | undefined,
		problem: question.error ? problemOf(question.error) : undefined,
		waiting: question.isFetching,
	};
}

export type Command<Input, Answer> = {
	/** Sends the command; the answer, or undefined when it was refused (the refusal then stands in `problem`). */
	readonly run: (input: Input) => Promise<Answer | undefined>;
	readonly busy: boolean;
	readonly problem: ShownProblem | undefined;
	readonly answer: Answer | undefined;
	/** Forgets the last refusal or answer and starts a new entry with a new key. */
	readonly reset: () => void;
};

/**
 * One command of a form. The key is made when the form opens and kept until the command took effect, so a second press or
 * a retry after a lost answer posts once. Afterwards every question of this book is asked again.
 */
export function useCommand<Input, Answer>(
	call: (api: Api, input: Input, key: string) => Promise<Answer>,
	onDone?: (answer: Answer, input: Input) => void,
): Command<Input, Answer> {
	const book = useBook();
	const queries = useQueryClient();
	const [key, setKey] = useState(newKey);
	const running = useRef(false);
	const command = useMutation({ mutationFn: async (input: Input) => call(await apiOf(book), input, key) });

	async function run(input: Input): Promise<Answer | undefined> {
		if (running.current) return undefined;
		running.current = true;
		try {
			const answer = await command.mutateAsync(input);
			setKey(newKey());
			await askAgain();
			onDone?.(answer, input);
			return answer;
		} catch (error) {
			if (problemOf(error).code === 'key.reused') await startOver();
			return undefined;
		} finally {
			running.current = false;
		}
	}

	/** The first send did take effect: show what is on the books and let the changed entry be a new one. */
	async function startOver(): Promise<void> {
		setKey(newKey());
		await askAgain();
	}

	/** What no page shows now is forgotten: a form that opens later must not be filled in from before the entry. */
	async function askAgain(): Promise<void> {
		queries.removeQueries({ queryKey: [book], type: 'inactive' });
		await queries.invalidateQueries({ queryKey: [book] });
	}

	function reset(): void {
		setKey(newKey());
		command.reset();
	}

	const problem = command.error ? problemOf(command.error) : undefined;
	return { run, reset, busy: command.isPending, problem, answer: command.data };
}

/** A new key for one entry. */
export function newKey(): string {
	return uuidV7(Date.now(), crypto.getRandomValues(new Uint8Array(10)));
}
