import { Button } from '@mantine/core';
import { useBook } from '../../api.ts';
import { exportedFileUrl } from '../../door.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useExport } from '../../use-export.ts';

type Paper = 'count sheet' | 'count sheet with the book' | 'store list';

const labels = {
	'count sheet': 'Print a blind count sheet',
	'count sheet with the book': 'Print one with the book',
	'store list': 'Print the store list',
} as const satisfies Record<Paper, string>;

/** Makes one of the store's papers as a PDF and hands it over. */
export function PrintStorePaper({ paper, storeId }: { readonly paper: Paper; readonly storeId?: string | undefined }) {
	const book = useBook();
	const { run, busy, problem, path } = useExport((api) =>
		paper === 'store list'
			? api.store.printEmergencyList({})
			: api.store.printCountSheet({
					book: paper === 'count sheet with the book',
					...(storeId === undefined ? {} : { storeId }),
				}),
	);
	return (
		<>
			<Button variant="default" loading={busy} onClick={run}>
				{labels[paper]}
			</Button>
			{path !== undefined && !problem && (
				<a href={exportedFileUrl(book, path)} download>
					{path.split(/[\\/]/).at(-1)}
				</a>
			)}
			<ProblemNotice problem={problem} />
		</>
	);
}
