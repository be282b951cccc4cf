import { Button, Textarea } from '@mantine/core';
import { useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import type { JobPlan } from '../../../shared/contract/jobs-plan.ts';
import { apiOf, useBook } from '../../api.ts';
import { exportedFileUrl } from '../../door.ts';
import { count } from '../../format.ts';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { problemOf, type ShownProblem } from '../../problem.ts';

type Wish = { readonly load?: number; readonly paper: 'A4' | 'A5' };
type Written = { readonly url: string; readonly path: string; readonly pages: number };

/** What a card is printed for: its job, and whether that goes on against warnings without a reason so far. */
export type Printable = {
	readonly jobId: string;
	readonly toAnswer: JobPlan['toAnswer'];
	readonly overrideWhy: string | null;
};

export type PrintCard = {
	/** Makes the PDF and hands it over to be opened; false when it was refused. */
	readonly run: (wish: Wish) => Promise<boolean>;
	/** Keeps the reason with the job, then prints what was asked for. */
	readonly answer: (why: string) => Promise<boolean>;
	readonly busy: boolean;
	readonly problem: ShownProblem | undefined;
	/** Warnings that want a reason first. */
	readonly asking: readonly string[];
	readonly written: Written | undefined;
};

/** Load cards as a PDF, into the exports folder of the book, and from there to the browser. */
export function usePrintCard({ jobId, toAnswer, overrideWhy }: Printable): PrintCard {
	const book = useBook();
	const queries = useQueryClient();
	const [busy, setBusy] = useState(false);
	const [problem, setProblem] = useState<ShownProblem | undefined>();
	const [asking, setAsking] = useState<readonly string[]>([]);
	const [wanted, setWanted] = useState<Wish>({ paper: 'A4' });
	const [written, setWritten] = useState<Written | undefined>();

	async function attempt(work: () => Promise<void>): Promise<boolean> {
		if (busy) return false;
		setBusy(true);
		setProblem(undefined);
		try {
			await work();
			setAsking([]);
			return true;
		} catch (error) {
			const said = problemOf(error);
			if (said.code === 'job.reasonNeeded') setAsking([String(said.details['why'] ?? said.sentence)]);
			else setProblem(said);
			return false;
		} finally {
			setBusy(false);
		}
	}

	async function print({ load, paper }: Wish): Promise<void> {
		const api = await apiOf(book);
		const { path, pages } = await api.jobs.printCard({ jobId, paper, ...(load === undefined ? {} : { load }) });
		const url = exportedFileUrl(book, path);
		setWritten({ url, path, pages });
		openFile(url);
	}

	async function run(wish: Wish): Promise<boolean> {
		setWanted(wish);
		if (toAnswer.length > 0 && overrideWhy === null) {
			setAsking(toAnswer.map(({ say }) => say));
			return false;
		}
		return attempt(() => print(wish));
	}

	async function answer(why: string): Promise<boolean> {
		return attempt(async () => {
			const api = await apiOf(book);
			await api.jobs.giveReason({ key: crypto.randomUUID(), id: jobId, why });
			await print(wanted);
			await queries.invalidateQueries();
		});
	}

	return { run, answer, busy, problem, asking, written };
}

/** What became of the last print: where the file is, why there is none, or what has to be answered first. */
export function Printed({ print }: { readonly print: PrintCard }) {
	return (
		<>
			<ProblemNotice problem={print.problem} />
			{print.asking.length > 0 && <AskReason print={print} />}
			{print.written && !print.problem && print.asking.length === 0 && (
				<DoneNotice>
					The card is written ({count(print.written.pages, 'page')}):{' '}
					<a href={print.written.url} download>
						{print.written.path.split(/[\\/]/).at(-1)}
					</a>
				</DoneNotice>
			)}
		</>
	);
}

function AskReason({ print }: { readonly print: PrintCard }) {
	const [why, setWhy] = useState('');
	return (
		<form
			className="stack above-small"
			onSubmit={(event) => {
				event.preventDefault();
				void print.answer(why.trim());
			}}
		>
			<div className="notice" role="status">
				<span className="word">Look</span>
				<ul>
					{print.asking.map((say) => (
						<li key={say}>{say}</li>
					))}
				</ul>
			</div>
			<Textarea
				label="Why it goes on against the warning"
				description="Stays with the job and on its records"
				required
				autosize
				minRows={2}
				maxLength={4000}
				data-autofocus
				value={why}
				onChange={(event) => setWhy(event.currentTarget.value)}
			/>
			<div>
				<Button type="submit" loading={print.busy}>
					Keep the reason and print
				</Button>
			</div>
		</form>
	);
}

function openFile(url: string): void {
	const link = document.createElement('a');
	link.href = url;
	link.download = '';
	link.click();
}
