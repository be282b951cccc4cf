import { Button } from '@mantine/core';
import { Link, useLocation } from 'wouter';
import { Empty } from '../../parts/empty.tsx';
import { useProcedure } from '../../use-procedure.ts';

type Step = { readonly what: string; readonly path: string; readonly there: boolean | undefined };

/** What a job is planned from, and which of it is not on the books yet. */
export function usePlanningSteps(): readonly Step[] {
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const sprayers = useProcedure(['sprayers'], (api) => api.sprayers.list({}));
	const has = (rows: readonly unknown[] | undefined) => (rows ? rows.length > 0 : undefined);
	return [
		{ what: 'Add fields', path: '/fields', there: has(fields.answer) },
		{ what: 'Add products', path: '/store/products', there: has(products.answer) },
		{ what: 'Add a sprayer', path: '/sprayers', there: has(sprayers.answer) },
	];
}

/** Before the first job: what has to be on the books, with the way there; then planning itself. */
export function NothingToPlanWith() {
	const [, go] = useLocation();
	const steps = usePlanningSteps();
	const missing = steps.filter(({ there }) => there === false);
	const [first] = missing;
	return (
		<Empty
			title={first ? 'A job needs fields, products and a sprayer.' : 'No job is planned yet.'}
			next={
				first ? (
					<Button onClick={() => go(first.path)}>{first.what}</Button>
				) : (
					<Button onClick={() => go('/jobs/new')}>Plan a job</Button>
				)
			}
		>
			{first ? (
				<ul className="steps" aria-label="Before the first job">
					{steps.map(({ what, path, there }) => (
						<li key={path}>
							<Link href={path}>{what}</Link> <span className="quiet">{there ? '· done' : ''}</span>
						</li>
					))}
				</ul>
			) : (
				'Choose the fields and the products; the job is broken into tank loads, each with its card. Logging a load draws the store and writes the records.'
			)}
		</Empty>
	);
}
