import { useEffect, useReducer, useState } from 'react';
import { useBook } from '../api.ts';
import type { LooseBoundary } from './boundary.ts';
import { type Draft, type DraftStep, nextDraft, startDraft } from './outline.ts';

/** Steps back that are kept: each holds the whole outline. */
const STEPS_KEPT = 20;

type Act = DraftStep | { readonly do: 'begin anew' };

export type KeptDrawing = {
	readonly draft: Draft;
	readonly step: (step: DraftStep) => void;
	/** It goes on from what was drawn before the page was left. */
	readonly found: boolean;
	readonly beginAnew: () => void;
	/** Saved, or thrown away: the next drawing of this name begins anew. */
	readonly forget: () => void;
};

/**
 * A drawing that outlives its page, in this tab: after a look elsewhere or a reload it goes on where it stood, until it is
 * saved or thrown away. Untouched, it is made afresh each time.
 */
export function useKeptDrawing(name: string, boundary: LooseBoundary | null): KeptDrawing {
	const place = `fillmark-drawing ${useBook()} ${name}`;
	const [found, setFound] = useState(() => readDrawing(place));
	const [draft, act] = useReducer(
		(now: Draft, next: Act) => (next.do === 'begin anew' ? startDraft(boundary) : nextDraft(now, next)),
		found ?? startDraft(boundary),
	);
	useEffect(() => {
		if (draft.past.length === 0) sessionStorage.removeItem(place);
		else keepDrawing(place, draft);
	}, [place, draft]);
	return {
		draft,
		step: act,
		found: found !== null,
		beginAnew: () => {
			setFound(null);
			act({ do: 'begin anew' });
		},
		forget: () => sessionStorage.removeItem(place),
	};
}

function readDrawing(place: string): Draft | null {
	const kept = sessionStorage.getItem(place);
	return kept === null ? null : (JSON.parse(kept) as Draft);
}

/** Storage that is full keeps nothing of this drawing: half of it would be worse. */
function keepDrawing(place: string, { past, ...drawn }: Draft): void {
	try {
		sessionStorage.setItem(place, JSON.stringify({ ...drawn, past: past.slice(-STEPS_KEPT) }));
	} catch {
		sessionStorage.removeItem(place);
	}
}
