import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { buffersAsked } from '../../paper/card-words.ts';
import { MarginInputs } from '../../parts/margin-inputs.tsx';
import type { MarginRow } from '../../parts/margin-rows.ts';
import { useAsksWithin30M } from '../../parts/use-asks-within-30-m.ts';
import { useProcedure } from '../../use-procedure.ts';
import type { LogDraft } from './log-draft.ts';
import { distancesAsked, marginsBefore, marginsProposed } from './margins-ahead.ts';

type Props = {
	readonly job: Job;
	readonly card: LoadCard;
	readonly draft: LogDraft;
	readonly onChange: (part: Partial<LogDraft>) => void;
};

/** The distances kept, margin by margin: in the open where a label of the job asks for one, else folded away. */
export function LogMargins({ job, card, draft, onChange }: Props) {
	const [said] = useState(draft.margins.some((row) => row.said));
	const asked = buffersAsked(card);
	const asksWithin30M = useAsksWithin30M(card.order.map(({ productId }) => productId));
	const fields = job.fields.filter(({ fieldId }) => draft.covered.some((line) => line.fieldId === fieldId));
	const rows = (
		<MarginInputs
			rows={draft.margins}
			fields={fields}
			asksWithin30M={asksWithin30M}
			onChange={(margins) => onChange({ margins: [...margins] })}
		/>
	);
	if (asked.length === 0) {
		return (
			<details className="above-small" open={said}>
				<summary>Buffer to water and other margins</summary>
				{rows}
			</details>
		);
	}
	return (
		<>
			<h2>Buffer kept</h2>
			{distancesAsked(card).map((line) => (
				<p key={line} className="quiet small">
					{line}
				</p>
			))}
			<p className="quiet small">From the top of the bank, looked at before it begins and written down that day.</p>
			{rows}
		</>
	);
}

/** Where the margins of a log begin; undefined while it is being looked up. */
export function useMarginsAhead(job: Job | undefined, card: LoadCard | undefined): readonly MarginRow[] | undefined {
	const asked = card !== undefined && buffersAsked(card).length > 0;
	const proposed = useProcedure(
		['jobs', job?.id, 'margins', card?.load],
		async (api) => (job && card ? marginsProposed(api, job, card) : []),
		{ enabled: asked && job !== undefined },
	);
	if (!job || !card) return;
	const before = marginsBefore(job, card);
	if (before.length > 0 || !asked) return before;
	return proposed.waiting ? undefined : (proposed.answer ?? []);
}
