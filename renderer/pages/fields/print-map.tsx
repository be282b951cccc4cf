import { Button } from '@mantine/core';
import { useState } from 'react';
import { apiOf, useBook } from '../../api.ts';
import { exportedFileUrl } from '../../door.ts';
import type { Colouring } from '../../map/field-classes.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { problemOf, type ShownProblem } from '../../problem.ts';

/** Makes the map as a PDF to scale, in the colouring that is shown, and hands it over. */
export function PrintMap({ by }: { readonly by: Colouring }) {
	const book = useBook();
	const [busy, setBusy] = useState(false);
	const [problem, setProblem] = useState<ShownProblem>();

	async function print(): Promise<void> {
		setBusy(true);
		setProblem(undefined);
		try {
			const { path } = await (await apiOf(book)).fields.printMap({ by });
			const link = document.createElement('a');
			Object.assign(link, { href: exportedFileUrl(book, path), download: '' });
			link.click();
		} catch (error) {
			setProblem(problemOf(error));
		} finally {
			setBusy(false);
		}
	}

	return (
		<>
			<Button className="screen-only" variant="subtle" loading={busy} onClick={print}>
				Print the map
			</Button>
			<ProblemNotice problem={problem} />
		</>
	);
}
