import { Button } from '@mantine/core';
import { useState } from 'react';
import type { JobRow } from '../../../shared/contract/jobs.ts';
import { type IncidentKind, incidentKinds, incidentKindsOf } from '../../../shared/core/filling/yard-routines.ts';
import { capital, shortDate, today } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import {
	type IncidentDetails,
	IncidentDetailsInputs,
	type Lost,
	nothingSaid,
	saidOf,
} from '../fill/incident-details.tsx';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';
import { useStoreName } from '../store/store-pick.tsx';

type Draft = IncidentDetails & {
	readonly jobId: string | null;
	/** Of the job; null: not said. */
	readonly load: string | null;
	readonly kind: IncidentKind | null;
	readonly date: string | null;
	readonly time: string;
};

/** An incident outside of a running fill: in the store, on the road, in the field, or of a job that is told of later. */
export function EnterIncident(props: { readonly products: readonly Lost[]; readonly onClose: () => void }) {
	const farmUnits = useUnits();
	const usual = useUsualOperator();
	const [signed, setSigned] = useState<string | null>(null);
	const by = signed ?? usual;
	const [tried, setTried] = useState(false);
	const [draft, setDraft] = useState<Draft>({
		jobId: null,
		load: null,
		kind: null,
		date: today(),
		time: '',
		...nothingSaid,
	});
	const set = (part: Partial<Draft>) => setDraft((now) => ({ ...now, ...part }));
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({})).answer ?? [];
	const chosen = jobs.find(({ id }) => id === draft.jobId);
	const job = useProcedure(['jobs', draft.jobId ?? ''], (api) => api.jobs.get({ id: draft.jobId ?? '' }), {
		enabled: draft.jobId !== null,
	}).answer;
	const kinds = chosen ? incidentKindsOf(chosen.kind) : incidentKinds;
	const storeName = useStoreName();
	const log = useCommand((api, kind: IncidentKind, key) =>
		api.fills.incident({
			key,
			...(draft.jobId === null ? {} : { jobId: draft.jobId }),
			...(draft.load === null ? {} : { load: Number(draft.load) }),
			kind,
			at: `${draft.date}T${draft.time}`,
			by: by.trim(),
			...saidOf(draft),
		}),
	);
	if (log.answer) {
		const { kind, product, amount: lost, unit } = log.answer;
		return (
			<div className="stack">
				<DoneNotice>
					{kind} is logged.
					{product !== null &&
						` ${farmUnits.amount(lost, unit ?? '')} of ${product} are posted to ${storeName(draft.storeId ?? job?.storeId ?? '') ?? 'the store'} as a spill.`}
				</DoneNotice>
				<div className="form-foot">
					<Button data-autofocus onClick={props.onClose}>
						Back to the list
					</Button>
				</div>
			</div>
		);
	}
	const missing = draft.kind === null || draft.time === '';
	return (
		<EntryForm
			command={log}
			onSubmit={() => {
				setTried(true);
				if (draft.kind !== null && draft.time !== '') log.run(draft.kind);
			}}
			foot={
				<>
					{tried && missing && (
						<p className="foot-word" role="alert">
							Still to enter:{' '}
							{[draft.kind === null ? 'what happened' : '', draft.time === '' ? 'the time' : '']
								.filter(Boolean)
								.join(' and ')}
							.
						</p>
					)}
					<Button variant="default" onClick={props.onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={log.busy}>
						Log it
					</Button>
				</>
			}
		>
			<div className="incident-when">
				<Pick
					label="What happened"
					required
					autoFocus
					options={kinds.map((kind) => ({ value: kind, label: kind }))}
					value={draft.kind}
					onChange={(kind) => set({ kind })}
				/>
				<DateInput label="On" required value={draft.date} onChange={(date) => set({ date })} />
				<TimeInput label="At" placeholder="0710" value={draft.time} onChange={(time) => set({ time })} />
				<ByInput label="Entered by" value={by} onChange={setSigned} />
			</div>
			<div className="pair">
				<Pick
					label="Job"
					clearable
					placeholder="none"
					options={jobs.map(({ id, name, date }) => ({ value: id, label: `${name}, ${shortDate(date)}` }))}
					value={draft.jobId}
					onChange={(jobId) =>
						set(
							ofJob(
								draft,
								jobId,
								jobs.find(({ id }) => id === jobId),
							),
						)
					}
				/>
				{chosen && (
					<Pick
						label={capital(portionWord(chosen.kind))}
						clearable
						placeholder="not said"
						options={Array.from({ length: chosen.loads }, (_, index) => String(index + 1)).map((load) => ({
							value: load,
							label: load,
						}))}
						value={draft.load}
						onChange={(load) => set({ load })}
					/>
				)}
			</div>
			<IncidentDetailsInputs
				products={job?.products ?? props.products}
				kind={chosen?.kind ?? null}
				usualStoreId={job?.storeId}
				value={draft}
				onChange={set}
			/>
		</EntryForm>
	);
}

/** With another job what is not of it is asked for anew. */
function ofJob({ kind }: Draft, jobId: string | null, job: JobRow | undefined): Partial<Draft> {
	const keepsKind = kind !== null && (!job || incidentKindsOf(job.kind).includes(kind));
	return { jobId, load: null, kind: keepsKind ? kind : null, productId: null, storeId: null, amount: null, mixL: null };
}
