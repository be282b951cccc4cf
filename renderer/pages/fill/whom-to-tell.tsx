import { Link } from 'wouter';
import { WHOM_TO_TELL } from '../../../shared/core/filling/yard-routines.ts';
import { useProcedure } from '../../use-procedure.ts';
import './whom-to-tell.css';

/** Whom to tell, by where it got to, and the numbers that stand with the place of the store. */
export function WhomToTell() {
	const watch = useProcedure(['store', 'watch'], (api) => api.store.watch({}));
	const contacts = watch.answer?.stores[0]?.contacts;
	return (
		<>
			<dl className="whom-to-tell">
				{WHOM_TO_TELL.map(({ when, tell }) => (
					<div key={when}>
						<dt>{when}</dt>
						<dd>{tell}</dd>
					</div>
				))}
			</dl>
			{contacts === '' && (
				<p>
					<Link href="/store/watch">Enter the numbers to ring</Link> with the place of the store.
				</p>
			)}
			{contacts && (
				<p className="contacts">
					<b>Numbers:</b> {contacts}
				</p>
			)}
		</>
	);
}
