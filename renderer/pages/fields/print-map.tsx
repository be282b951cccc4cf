import { Button } from '@mantine/core';
import type { Colouring } from '../../map/field-classes.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useExport } from '../../use-export.ts';

/** Makes the map as a PDF to scale, in the colouring that is shown, and hands it over. */
export function PrintMap({ by }: { readonly by: Colouring }) {
	const map = useExport((api) => api.fields.printMap({ by }));
	return (
		<>
			<Button className="screen-only" variant="subtle" loading={map.busy} onClick={map.run}>
				Print the map
			</Button>
			<ProblemNotice problem={map.problem} />
		</>
	);
}
