import { useQueryClient } from '@tanstack/react-query';
import { useRef, useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { LimitFinding } from '../../../shared/contract/limits.ts';
import { type Api, apiOf, useBook } from '../../api.ts';
import { buffersAsked } from '../../paper/card-words.ts';
import type { MarginRow } from '../../parts/margin-rows.ts';
import { problemOf } from '../../problem.ts';
import { useUnits } from '../../units.ts';
import { newKey } from '../../use-procedure.ts';
import { isOtherBatch, notAsNamedWords } from '../jobs/drawn-words.ts';
import { mayLogShort } from '../jobs/logged-short.ts';
import { marginsBefore, marginsProposed } from '../jobs/margins-ahead.ts';
import { useKept } from '../jobs/use-kept.ts';
import {
	type CardRow,
	cardLog,
	emptyRow,
	type FoundCard,
	foundCard,
	inOrderOfTime,
	marginsOf,
	troubleOf,
	unanswered,
	unconfirmed,
	withDefaults,
} from './card-row.ts';

/** A card that is on the books now. */
export type LoggedCard = {
	readonly key: string;
	readonly card: FoundCard;
	readonly on: string;
	readonly began: string;
	readonly records: number;
	readonly unconfirmed: readonly string[];
	/** A label asks for a distance and nothing was said of it. */
	readonly bufferOpen: boolean;
	/** What the plan named and was not there, in words. */
	readonly notNamed: readonly string[];
	readonly findings: readonly LimitFinding[];
};

/**
 * The cards on the page. The last row is always empty. Cards are logged one after the other in the order they began,
 * each with its own key: one that is refused stays with its reason, the others are kept.
 */
export function useCardRows(usualOperator: string) {
	const farmUnits = useUnits();
	const book = useBook();
	const queries = useQueryClient();
	const [rows, keep, forget] = useKept<readonly CardRow[]>('cards', () => [emptyRow(newKey())]);
	const [logged, setLogged] = useState<readonly LoggedCard[]>([]);
	const [tried, setTried] = useState<ReadonlySet<string>>(new Set());
	const [busy, setBusy] = useState(false);
	const latest = useRef(rows);
	latest.current = rows;
	/** At once, so that a log that follows on a look-up sees what it found. */
	function change(by: (now: readonly CardRow[]) => readonly CardRow[]): void {
		latest.current = by(latest.current);
		keep(() => latest.current);
	}
	const filled = rows.filter(({ code }) => code.trim() !== '');

	function set(key: string, part: Partial<CardRow>): void {
		change((now) => {
			const next = now.map((row) => (row.key === key ? { ...row, ...part } : row));
			return next.at(-1)?.code.trim() === '' ? next : [...next, emptyRow(newKey())];
		});
	}

	async function lookUp(key: string): Promise<void> {
		const row = latest.current.find((each) => each.key === key);
		const code = row?.code.trim() ?? '';
		if (!row || row.card || code === '') return;
		const found = await findCard(code);
		change((now) =>
			now.map((each) => {
				if (each.key !== key || each.code.trim() !== code) return each;
				return typeof found === 'string' ? { ...each, problem: found } : withDefaults(each, found);
			}),
		);
	}

	async function findCard(code: string): Promise<FoundCard | string> {
		try {
			const api = await apiOf(book);
			const { jobId, load } = await api.jobs.findCard({ code });
			const [job, card] = [await api.jobs.get({ id: jobId }), await api.jobs.card({ jobId, load })];
			return foundCard(
				job,
				card,
				{ operator: usualOperator, margins: await marginsToBegin(api, job, card) },
				farmUnits,
			);
		} catch (error) {
			const problem = problemOf(error);
			return problem.code === 'not.found' ? `No load card carries the code ${code}.` : problem.sentence;
		}
	}

	async function logAll(): Promise<void> {
		if (busy) return;
		setBusy(true);
		setTried(new Set(filled.map(({ key }) => key)));
		for (const { key } of filled) await lookUp(key);
		// Those of a card above stand with each card itself before that one is logged and gone.
		change((all) =>
			all.map((row) => {
				const margins = marginsOf(row, all);
				return margins.some(({ said }) => said) ? { ...row, margins } : row;
			}),
		);
		const now = latest.current.filter(({ code }) => code.trim() !== '');
		const ready = now.filter(
			(row, index) => troubleOf({ ...row, problem: null }, now.slice(0, index), row.margins ?? []) === null,
		);
		for (const row of inOrderOfTime(ready)) if (row.card) await logOne(row, row.card);
		await queries.invalidateQueries({ queryKey: [book] });
		setBusy(false);
	}

	async function logOne(row: CardRow, card: FoundCard): Promise<void> {
		try {
			const api = await apiOf(book);
			const { recordIds, notAsNamed, findings } = await api.jobs.logLoad({
				key: row.key,
				...cardLog(row, card, row.margins ?? []),
			});
			setLogged((before) => [
				...before,
				{
					key: row.key,
					card,
					on: row.date,
					began: row.began,
					records: recordIds.length,
					unconfirmed: unconfirmed(row),
					bufferOpen: unanswered(row, row.margins ?? []),
					notNamed: notAsNamed.filter(isOtherBatch).map(({ productId, ...parts }) => {
						const line = card.products.find((each) => each.productId === productId);
						return `${line?.name ?? '?'}. ${notAsNamedWords(parts, line?.unit ?? '', farmUnits)}`;
					}),
					findings,
				},
			]);
			change((all) => all.filter(({ key }) => key !== row.key));
		} catch (error) {
			const { code, sentence } = problemOf(error);
			const offersShort = mayLogShort(code);
			change((all) => all.map((each) => (each.key === row.key ? { ...each, problem: sentence, offersShort } : each)));
		}
	}

	/** What is to be said of a row: what its code or its log was refused for at once, what is missing once it was sent. */
	function sayOf(row: CardRow): string | null {
		if (row.code.trim() === '') return null;
		if (row.problem !== null) return row.problem;
		const at = rows.indexOf(row);
		const trouble = row.card ? troubleOf(row, rows.slice(0, at), marginsOf(row, rows)) : null;
		const atOnce = trouble !== null && !trouble.startsWith('Still');
		return atOnce || tried.has(row.key) ? trouble : null;
	}

	return { rows, filled, logged, busy, set, lookUp, logAll, sayOf, forget };
}

/** Where a label asks for a distance: what was said of the job already, else what is proposed. */
async function marginsToBegin(api: Api, job: Job, card: LoadCard): Promise<MarginRow[]> {
	if (buffersAsked(card).length === 0) return [];
	const before = marginsBefore(job, card);
	return before.length > 0 ? before : marginsProposed(api, job, card);
}
