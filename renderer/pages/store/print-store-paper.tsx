import { Button } from '@mantine/core';
import { useState } from 'react';
import { apiOf, useBook } from '../../api.ts';
import { exportedFileUrl } from '../../door.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { problemOf, type ShownProblem } from '../../problem.ts';

type Paper = 'count sheet' | 'count sheet with the book' | 'store list';

const labels = {
	'count sheet': 'Print a blind count sheet',
	'count sheet with the book': 'Print one with the book',
	'store list': 'Print the store list',
} as const satisfies Record<Paper, string>;

/** Makes one of the store's papers as a PDF and hands it over. */
export function PrintStorePaper({ paper }: { readonly paper: Paper }) {
	const book = useBook();
	const [busy, setBusy] = useState(false);
	const [problem, setProblem] = useState<ShownProblem>();
	const [file, setFile] = useState<{ readonly url: string; readonly name: string }>();

	async function print(): Promise<void> {
		setBusy(true);
		setProblem(undefined);
		try {
			const api = await apiOf(book);
			const { path } =
				paper === 'store list'
					? await api.store.printEmergencyList({})
					: await api.store.printCountSheet({ book: paper === 'count sheet with the book' });
			const made = { url: exportedFileUrl(book, path), name: path.split(/[\\/]/).at(-1) ?? '' };
			setFile(made);
			const link = document.createElement('a');
			Object.assign(link, { href: made.url, download: '' });
			link.click();
		} catch (error) {
			setProblem(problemOf(error));
		} finally {
			setBusy(false);
		}
	}

	return (
		<>
			<Button variant="default" loading={busy} onClick={print}>
				{labels[paper]}
			</Button>
			{file && !problem && (
				<a href={file.url} download>
					{file.name}
				</a>
			)}
			<ProblemNotice problem={problem} />
		</>
	);
}
