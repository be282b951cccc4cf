import { lazy, Suspense } from 'react';
import type { FieldMapProps } from './field-map.tsx';

const Drawn = lazy(() => import('./field-map.tsx').then((module) => ({ default: module.FieldMap })));

/** The map, fetched when a page first shows one. The room it takes is kept free meanwhile. */
export function FieldMap(props: FieldMapProps) {
	return (
		<Suspense fallback={<div style={{ height: props.height }} />}>
			<Drawn {...props} />
		</Suspense>
	);
}
