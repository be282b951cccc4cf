import { useState } from 'react';
import { apiOf, useBook } from '../../api.ts';
import { exportedFileUrl } from '../../door.ts';
import { count } from '../../format.ts';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { problemOf, type ShownProblem } from '../../problem.ts';

type Wish = { readonly load?: number; readonly paper: 'A4' | 'A5' };
type Written = { readonly url: string; readonly path: string; readonly pages: number };

export type PrintCard = {
	/** Makes the PDF and hands it over to be opened; false when it was refused. */
	readonly run: (wish: Wish) => Promise<boolean>;
	readonly busy: boolean;
	readonly problem: ShownProblem | undefined;
	readonly written: Written | undefined;
};

/** Load cards as a PDF, into the exports folder of the book, and from there to the browser. */
export function usePrintCard(jobId: string): PrintCard {
	const book = useBook();
	const [busy, setBusy] = useState(false);
	const [problem, setProblem] = useState<ShownProblem | undefined>();
	const [written, setWritten] = useState<Written | undefined>();

	async function run({ load, paper }: Wish): Promise<boolean> {
		if (busy) return false;
		setBusy(true);
		setProblem(undefined);
		try {
			const api = await apiOf(book);
			const { path, pages } = await api.jobs.printCard({ jobId, paper, ...(load === undefined ? {} : { load }) });
			const url = exportedFileUrl(book, path);
			setWritten({ url, path, pages });
			openFile(url);
			return true;
		} catch (error) {
			setProblem(problemOf(error));
			return false;
		} finally {
			setBusy(false);
		}
	}

	return { run, busy, problem, written };
}

/** What became of the last print: where the file is, or why there is none. */
export function Printed({ print }: { readonly print: PrintCard }) {
	return (
		<>
			<ProblemNotice problem={print.problem} />
			{print.written && !print.problem && (
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

function openFile(url: string): void {
	const link = document.createElement('a');
	link.href = url;
	link.download = '';
	link.click();
}
