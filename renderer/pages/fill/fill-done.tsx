import { Button } from '@mantine/core';
import { useState } from 'react';
import { useLocation } from 'wouter';
import type { FillRow, Incident } from '../../../shared/contract/fills.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { capital, count, duration, figure, timeOfDay } from '../../format.ts';
import { heldWords } from '../../held-words.ts';
import { isMixed } from '../../paper/card-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Facts } from '../../parts/page.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { CleanDownLater } from './clean-down.tsx';
import { incidentWords } from './fill-words.ts';
import { MoreAbout } from './incident-entry.tsx';

const doneWords: Readonly<Partial<Record<LoadCard['kind'], string>>> = {
	granules: 'Spread: log the fill’s ground',
	'seed treatment': 'Treated: log the batch',
	'closed space': 'Treated: log it',
};

type Props = { readonly card: LoadCard; readonly fill: FillRow; readonly onAgain: () => void };

/** A fill that is logged: what it came to, and what comes next. */
export function FillDone({ card, fill, onAgain }: Props) {
	const [, go] = useLocation();
	const units = useUnits();
	const job = `/jobs/${card.jobId}`;
	const mixed = isMixed(card);
	const { one } = heldWords(card.plan, card.seed?.unit);
	return (
		<div className="yard-body">
			<section className="yard-panel" aria-label="The fill">
				<p className="yard-head">
					{capital(one)} {card.load} is ready and the fill is logged
				</p>
				<div className="yard-facts">
					<Facts
						items={[
							['Began', timeOfDay(fill.startedAt)],
							['Ready', timeOfDay(fill.finishedAt)],
							mixed && ['Metered', units.volume(fill.meteredL)],
							mixed && [
								`${card.carrier ? 'Fertiliser' : 'Water'} came in at`,
								`${units.figure((fill.meteredL / Math.max(1, fill.runningS)) * 60, 'L/min')} ${units.name('L/min')}`,
							],
							['Containers', figure(fill.containers)],
							mixed && [
								'Stops',
								fill.stopsS.length === 0
									? 'none'
									: `${count(fill.stopsS.length, 'stop')}, ${duration(fill.stopsS.reduce((sum, each) => sum + each, 0))}`,
							],
							['Operator', fill.operator],
						]}
					/>
				</div>
				{mixed && <CleanDownLater card={card} since={fill.startedAt} operator={fill.operator} />}
				<Incidents card={card} />
			</section>
			<section className="yard-panel" aria-label="Next">
				<p className="yard-head">Next</p>
				<div className="yard-next">
					<button type="button" className="yard-press" onClick={() => go(`${job}/${card.load}/log`)}>
						{doneWords[card.kind] ?? 'Sprayed: log the load'}
					</button>
					{card.load < card.loads && (
						<button type="button" className="yard-tool" onClick={() => go(`${job}/fill/${card.load + 1}`)}>
							Fill {one} {card.load + 1}
						</button>
					)}
					<button type="button" className="yard-tool" onClick={() => go(`${job}/${card.load}`)}>
						Back to the job
					</button>
				</div>
				<Button variant="subtle" onClick={onAgain}>
					Fill this {one} again
				</Button>
			</section>
		</div>
	);
}

/** What happened while this load was filled; each may still be said more about. */
function Incidents({ card }: { readonly card: LoadCard }) {
	const units = useUnits();
	const { jobId, load } = card;
	const asked = useProcedure(['fills', 'incidents', jobId, load], (api) => api.fills.incidents({ jobId, load }));
	const [open, setOpen] = useState<Incident | null>(null);
	if (!asked.answer || asked.answer.length === 0) return null;
	const close = () => setOpen(null);
	return (
		<>
			<p className="yard-head">Incidents</p>
			<ul className="plain-list yard-incidents">
				{asked.answer.map((incident) => (
					<li key={incident.id}>
						{incident.withdrawn ? (
							<span>
								<s>{incidentWords(incident, units)}</s> withdrawn: {incident.withdrawn.why}
							</span>
						) : (
							<>
								<span>{incidentWords(incident, units)}</span>
								<button type="button" className="yard-tool" onClick={() => setOpen(incident)}>
									Say more
								</button>
							</>
						)}
					</li>
				))}
			</ul>
			<Dialog title="More about it" opened={open !== null} onClose={close} size="wide">
				{open && <MoreAbout products={card.order} kind={card.kind} incident={open} by={open.who} onClose={close} />}
			</Dialog>
		</>
	);
}
