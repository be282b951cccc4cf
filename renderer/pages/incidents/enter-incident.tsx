import { Button } from '@mantine/core';
import { useState } from 'react';
import { type IncidentKind, incidentKinds } from '../../../shared/core/filling/yard-routines.ts';
import { amount, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import {
	type IncidentDetails,
	IncidentDetailsInputs,
	type Lost,
	nothingSaid,
	saidOf,
} from '../fill/incident-details.tsx';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';

type Draft = IncidentDetails & {
	readonly kind: IncidentKind | null;
	readonly date: string | null;
	readonly time: string;
};

/** An incident outside of a fill: in the store, on the road, in the field. */
export function EnterIncident(props: { readonly products: readonly Lost[]; readonly onClose: () => void }) {
	const usual = useUsualOperator();
	const [signed, setSigned] = useState<string | null>(null);
	const by = signed ?? usual;
	const [tried, setTried] = useState(false);
	const [draft, setDraft] = useState<Draft>({ kind: null, date: today(), time: '', ...nothingSaid });
	const set = (part: Partial<Draft>) => setDraft((now) => ({ ...now, ...part }));
	const log = useCommand((api, kind: IncidentKind, key) =>
		api.fills.incident({
			key,
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
					{product !== null && ` ${amount(lost, unit ?? '')} of ${product} are posted to the store as a spill.`}
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
					options={incidentKinds.map((kind) => ({ value: kind, label: kind }))}
					value={draft.kind}
					onChange={(kind) => set({ kind })}
				/>
				<DateInput label="On" required value={draft.date} onChange={(date) => set({ date })} />
				<TimeInput label="At" placeholder="0710" value={draft.time} onChange={(time) => set({ time })} />
				<ByInput label="Entered by" value={by} onChange={setSigned} />
			</div>
			<IncidentDetailsInputs products={props.products} value={draft} onChange={set} />
		</EntryForm>
	);
}
