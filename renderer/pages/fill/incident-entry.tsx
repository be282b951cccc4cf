import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Incident } from '../../../shared/contract/fills.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { type IncidentKind, incidentKindsOf, SPILL_CAUTIONS } from '../../../shared/core/filling/yard-routines.ts';
import type { ApplicationKind } from '../../../shared/core/loads/application-kind.ts';
import { timeOfDay } from '../../format.ts';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { useStoreName } from '../store/store-pick.tsx';
import { type IncidentDetails, IncidentDetailsInputs, type Lost, nothingSaid, saidOf } from './incident-details.tsx';
import { WhomToTell } from './whom-to-tell.tsx';

type Props = { readonly card: LoadCard; readonly onClose: (() => void) | undefined };

/** An incident: one press logs it, with its time; what, how much, where to, what was done and who was told may follow. */
export function IncidentEntry({ card, onClose }: Props) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const by = card.operator ?? settings.answer?.operator ?? 'operator';
	const [incident, setIncident] = useState<Incident | null>(null);
	const log = useCommand(
		(api, kind: IncidentKind, key) => api.fills.incident({ key, jobId: card.jobId, load: card.load, kind, by }),
		setIncident,
	);
	if (incident) {
		return <MoreAbout products={card.order} kind={card.kind} incident={incident} by={by} onClose={onClose} />;
	}
	return (
		<div className="stack">
			{onClose === undefined && <p className="yard-head">What happened? One press logs it.</p>}
			<div className="yard-kinds">
				{incidentKindsOf(card.kind).map((kind) => (
					<button key={kind} type="button" className="yard-tool" disabled={log.busy} onClick={() => log.run(kind)}>
						{kind}
					</button>
				))}
			</div>
			<ProblemNotice problem={log.problem} />
		</div>
	);
}

/** Adds to an incident what is known by now; a lost product is posted once. */
export function MoreAbout({
	products,
	kind,
	incident,
	by,
	onClose,
	back = 'Back to the fill',
}: {
	/** What may have been lost. */
	readonly products: readonly Lost[];
	/** How its job brings products out; null: it belongs to no job. */
	readonly kind: ApplicationKind | null;
	readonly incident: Incident;
	readonly by: string;
	readonly onClose: (() => void) | undefined;
	readonly back?: string;
}) {
	const [draft, setDraft] = useState(nothingSaid);
	const jobId = incident.jobId ?? '';
	const job = useProcedure(['jobs', jobId], (api) => api.jobs.get({ id: jobId }), { enabled: jobId !== '' }).answer;
	const storeName = useStoreName();
	const outOf = storeName(draft.storeId ?? job?.storeId ?? '') ?? 'the store';
	const complete = useCommand((api, said: IncidentDetails, key) =>
		api.fills.completeIncident({ key, id: incident.id, by, ...saidOf(said) }),
	);
	if (complete.answer) {
		const { product, amount, unit } = complete.answer;
		return (
			<div className="stack">
				<DoneNotice>
					{incident.kind} logged at {timeOfDay(incident.happenedAt)}.
					{product !== null && ` ${amount} ${unit} of ${product} are posted to ${outOf} as a spill.`}
				</DoneNotice>
				{onClose && <Button onClick={onClose}>{back}</Button>}
			</div>
		);
	}
	return (
		<EntryForm
			command={complete}
			onSubmit={() => complete.run(draft)}
			foot={
				<>
					{onClose && (
						<Button variant="default" onClick={onClose}>
							Leave it at that
						</Button>
					)}
					<Button type="submit" loading={complete.busy}>
						Add this
					</Button>
				</>
			}
		>
			<DoneNotice>
				{incident.kind} logged at {timeOfDay(incident.happenedAt)}. Say more now, or later.
			</DoneNotice>
			<IncidentDetailsInputs
				products={products}
				productKnown={incident.amount !== null}
				kind={kind}
				usualStoreId={job?.storeId}
				value={draft}
				onChange={(part) => setDraft((now) => ({ ...now, ...part }))}
			/>
			<details className="more">
				<summary>Whom to tell, and what to do with what got out</summary>
				<ul className="cautions">
					{SPILL_CAUTIONS.map((line) => (
						<li key={line}>{line}</li>
					))}
				</ul>
				<WhomToTell />
			</details>
		</EntryForm>
	);
}
