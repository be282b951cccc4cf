import { Link } from 'wouter';
import { useProcedure } from '../use-procedure.ts';

/** Sprayer tests and certificates that run out soon, or did; nothing where all hold. `here`: what this page itself keeps. */
export function Reminders({ here }: { readonly here?: 'certificate' }) {
	const asked = useProcedure(['reminders'], (api) => api.settings.reminders({}));
	if (!asked.answer?.length) return null;
	return (
		<ul className="cautions reminders screen-only" aria-label="Reminders">
			{asked.answer.map(({ what, of, say, urgent }) => (
				<li key={`${what} ${of}`}>
					{urgent ? <b>{say}</b> : say}{' '}
					{what !== here && (
						<Link href={what === 'certificate' ? '/settings/operators' : '/sprayers'}>
							{what === 'certificate' ? 'Operators' : 'Sprayers'}
						</Link>
					)}
				</li>
			))}
		</ul>
	);
}
