import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { findingSentences } from '../../../shared/core/limits/finding-sentences.ts';
import { buffersAsked } from '../../paper/card-words.ts';
import { MarginInputs } from '../../parts/margin-inputs.tsx';
import { type MarginRow, marginRow, NO_MARGIN } from '../../parts/margin-rows.ts';
import { useAsksWithin30M } from '../../parts/use-asks-within-30-m.ts';
import { useProcedure } from '../../use-procedure.ts';
import type { LogDraft } from './log-draft.ts';

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
	const open = asked.filter(({ verdict }) => verdict !== 'ok');
	return (
		<>
			<h2>Buffer kept</h2>
			{findingSentences(open.length > 0 ? open : asked, { named: true }).map((line) => (
				<p key={line} className="quiet small">
					{line}
				</p>
			))}
			<p className="quiet small">From the top of the bank, looked at before it begins and written down that day.</p>
			{rows}
		</>
	);
}

/** Fields of which margins are proposed: beyond that nobody goes through the list. */
const MOST_FIELDS = 12;

/**
 * Where the margins of a log begin: with those of the load before, so that they are asked once a job; else with the no-spray
 * strips of its fields, which count as soon as somebody says what is there. Undefined while it is being looked up.
 */
export function useMarginsAhead(job: Job | undefined, card: LoadCard | undefined): readonly MarginRow[] | undefined {
	const asked = card !== undefined && buffersAsked(card).length > 0;
	const ids = asked ? card.plan.ground.slice(0, MOST_FIELDS).map(({ fieldId }) => fieldId) : [];
	const fields = useProcedure(
		['fields', 'strips of', ...ids],
		(api) => Promise.all(ids.map((id) => api.fields.get({ id }))),
		{ enabled: asked },
	);
	const sprayers = useProcedure(['sprayers'], (api) => api.sprayers.list({}), { enabled: asked });
	if (!job || !card) return;
	const earlier = job.logs.filter(({ state, margins }) => state !== 'reversed' && margins).at(-1)?.margins ?? [];
	const here = new Set(card.plan.ground.map(({ fieldId }) => fieldId));
	const same = earlier.filter(({ fieldId }) => fieldId === undefined || here.has(fieldId));
	if (same.length > 0) return same.map(marginRow);
	if (!asked) return [];
	if (fields.waiting || sprayers.waiting) return;
	const sprayer = sprayers.answer?.find(
		({ id, nozzle }) => id === job.sprayerId && nozzle === (job.nozzle ?? undefined),
	);
	const usual = {
		...NO_MARGIN,
		driftReduction: sprayer?.driftReduction ?? null,
		pressureFromBar: job.pressureBar ?? sprayer?.pressureBar ?? null,
	};
	const strips = (fields.answer ?? []).flatMap(({ field, strips: own }) =>
		own.flatMap(({ kind, label, widthM }) =>
			kind === 'strip' && widthM !== null ? [{ ...usual, fieldId: field.id, margin: label, keptM: widthM }] : [],
		),
	);
	return strips.length > 0 ? strips : [usual];
}
