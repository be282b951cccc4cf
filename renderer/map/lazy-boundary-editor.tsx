import { lazy, Suspense } from 'react';
import type { BoundaryEditorProps } from './boundary-editor.tsx';

const Drawn = lazy(() => import('./boundary-editor.tsx').then((module) => ({ default: module.BoundaryEditor })));

/** The drawing map, fetched when a page first shows it. The room it takes is kept free meanwhile. */
export function BoundaryEditor(props: BoundaryEditorProps) {
	return (
		<Suspense fallback={<div style={{ height: props.height }} />}>
			<Drawn {...props} />
		</Suspense>
	);
}
