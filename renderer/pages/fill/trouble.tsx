import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { TROUBLE_ROUTINE } from '../../../shared/core/filling/yard-routines.ts';
import { IncidentEntry } from './incident-entry.tsx';

type Props = { readonly card: LoadCard; readonly onGoOn: () => void };

/** Everything stands still: what to do, in order, and what happened, with one press. */
export function Trouble({ card, onGoOn }: Props) {
	return (
		<div className="yard-body">
			<section className="yard-panel" data-call="now" aria-label="What to do">
				<p className="yard-head" role="alert">
					Everything stopped
				</p>
				<ol className="yard-routine">
					{TROUBLE_ROUTINE.map((step) => (
						<li key={step.do}>
							<b>{step.do}</b>
							<span>{step.how}</span>
						</li>
					))}
				</ol>
				<p className="yard-small">The labels and the rules of the site come first. This is common practice.</p>
			</section>
			<section className="yard-panel" aria-label="What happened">
				<IncidentEntry card={card} onClose={undefined} />
				<button type="button" className="yard-press" onClick={onGoOn}>
					It is under control: go on
				</button>
				<p className="yard-small">The inlet stays shut until you open it.</p>
			</section>
		</div>
	);
}
