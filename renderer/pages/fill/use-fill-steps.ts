import { useQueryClient } from '@tanstack/react-query';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { FillRow } from '../../../shared/contract/fills.ts';
import { type FillStep, type StepKind, standingSteps } from '../../../shared/core/filling/fill-steps.ts';
import { apiOf, useBook } from '../../api.ts';
import { problemOf, type ShownProblem } from '../../problem.ts';
import { newKey, useProcedure } from '../../use-procedure.ts';

export type NewStep = { readonly what: StepKind; readonly container?: number; readonly meteredL?: number };

export type FillSteps = {
	/** What stands on the books, and what this device still has to send. */
	readonly steps: readonly FillStep[];
	readonly logged: FillRow | null;
	readonly ready: boolean;
	readonly note: (step: NewStep) => void;
	/** Takes the last step back. */
	readonly undo: () => void;
	readonly last: FillStep | undefined;
	/** Steps that are kept on this device because the program does not answer. */
	readonly unsent: number;
	readonly problem: ShownProblem | undefined;
};

type Waiting = {
	readonly key: string;
	readonly at: number;
	readonly what: StepKind;
	readonly container?: number;
	readonly meteredL?: number;
	readonly undoes?: string;
	/** The book took it, after this fill was logged (empty: none); it waits to be read back. */
	readonly takenAfter?: string;
};

const LOOK_AGAIN_MS = 4000;
const TRY_AGAIN_MS = 1500;

/**
 * The steps of a running fill. Each press counts at once, is kept on this device until the book has it, and is sent in
 * the order pressed; a reload or another device goes on from the book.
 */
export function useFillSteps(jobId: string, load: number): FillSteps {
	const book = useBook();
	const queries = useQueryClient();
	const asked = useProcedure(['fills', 'steps', jobId, load], (api) => api.fills.steps({ jobId, load }));
	const place = `fillmark-${book}-fill-${jobId}-${load}`;
	const [waiting, setWaiting] = useState<readonly Waiting[]>(() => readKept(place));
	const [problem, setProblem] = useState<ShownProblem>();
	const [tries, setTries] = useState(0);
	const sending = useRef<string | null>(null);
	const onBooks = asked.answer?.steps;
	const loggedId = asked.answer?.logged?.id ?? '';

	const lookAgain = useCallback(
		() => queries.invalidateQueries({ queryKey: [book, 'fills', 'steps', jobId, load] }),
		[queries, book, jobId, load],
	);
	const change = useCallback(
		(by: (now: readonly Waiting[]) => readonly Waiting[]) =>
			setWaiting((now) => {
				const next = by(now);
				localStorage.setItem(place, JSON.stringify(next));
				return next;
			}),
		[place],
	);

	useEffect(() => {
		const timer = setInterval(() => void lookAgain(), LOOK_AGAIN_MS);
		return () => clearInterval(timer);
	}, [lookAgain]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: a failed try comes round again by the count of tries
	useEffect(() => {
		const first = waiting.find(({ takenAfter }) => takenAfter === undefined);
		if (!first || sending.current !== null) return;
		sending.current = first.key;
		void (async () => {
			try {
				const { at, takenAfter: _, ...step } = first;
				await (await apiOf(book)).fills.step({ ...step, jobId, load, at: new Date(at).toISOString() });
				change((now) => now.map((each) => (each.key === first.key ? { ...each, takenAfter: loggedId } : each)));
				await lookAgain();
				setProblem(undefined);
			} catch (error) {
				const why = problemOf(error);
				setProblem(why);
				if (why.code === 'door.closed') await new Promise((wait) => setTimeout(wait, TRY_AGAIN_MS));
				else {
					await lookAgain();
					change((now) => now.filter(({ key }) => key !== first.key));
				}
			} finally {
				sending.current = null;
				setTries((now) => now + 1);
			}
		})();
	}, [waiting, tries]);

	useEffect(() => {
		if (!onBooks) return;
		const known = new Set(onBooks.map(({ id }) => id));
		const isRead = ({ key, takenAfter }: Waiting) =>
			known.has(key) || (takenAfter !== undefined && takenAfter !== loggedId);
		if (waiting.some(isRead)) change((now) => now.filter((each) => !isRead(each)));
	}, [onBooks, loggedId, waiting, change]);

	const steps = useMemo(() => {
		const known = new Set(onBooks?.map(({ id }) => id));
		return [...(onBooks ?? []), ...waiting.filter(({ key }) => !known.has(key)).map(stepOf)];
	}, [onBooks, waiting]);
	const last = standingSteps(steps).at(-1);

	function note(step: NewStep): void {
		setProblem(undefined);
		change((now) => [...now, { key: newKey(), at: Date.now(), ...step }]);
	}

	function undo(): void {
		if (!last) return;
		const own = waiting.find(({ key }) => key === last.id);
		const untouched = own !== undefined && own.takenAfter === undefined && sending.current !== last.id;
		if (untouched) change((now) => now.filter(({ key }) => key !== last.id));
		else change((now) => [...now, { key: newKey(), at: Date.now(), what: 'undo', undoes: last.id }]);
	}

	return {
		steps,
		logged: asked.answer?.logged ?? null,
		ready: asked.answer !== undefined,
		note,
		undo,
		last,
		unsent: problem?.code === 'door.closed' ? waiting.filter(({ takenAfter }) => takenAfter === undefined).length : 0,
		problem: problem ?? asked.problem,
	};
}

function stepOf({ key, at, what, container, meteredL, undoes }: Waiting): FillStep {
	return { id: key, at, what, container: container ?? null, meteredL: meteredL ?? null, undoes: undoes ?? null };
}

function readKept(place: string): readonly Waiting[] {
	try {
		const kept: unknown = JSON.parse(localStorage.getItem(place) ?? '[]');
		return Array.isArray(kept) ? (kept as Waiting[]) : [];
	} catch {
		return [];
	}
}
