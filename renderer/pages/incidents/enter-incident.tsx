import { Button, Textarea, TextInput } from '@mantine/core';
import { useState } from 'react';
import { type IncidentKind, incidentKinds } from '../../../shared/core/filling/yard-routines.ts';
import { amount, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';

type Lost = { readonly productId: string; readonly name: string; readonly unit: string };
type Draft = {
	readonly kind: IncidentKind | null;
	readonly date: string | null;
	readonly time: string;
	readonly productId: string | null;
	readonly amount: number | null;
	readonly mixL: number | null;
	readonly wentTo: string;
	readonly done: string;
	readonly told: string;
};

/** An incident outside of a fill: in the store, on the road, in the field. */
export function EnterIncident(props: { readonly products: readonly Lost[]; readonly onClose: () => void }) {
	const usual = useUsualOperator();
	const [signed, setSigned] = useState<string | null>(null);
	const by = signed ?? usual;
	const [tried, setTried] = useState(false);
	const [draft, setDraft] = useState<Draft>({
		kind: null,
		date: today(),
		time: '',
		productId: null,
		amount: null,
		mixL: null,
		wentTo: '',
		done: '',
		told: '',
	});
	const set = (part: Partial<Draft>) => setDraft((now) => ({ ...now, ...part }));
	const log = useCommand((api, kind: IncidentKind, key) =>
		api.fills.incident({
			key,
			kind,
			at: `${draft.date}T${draft.time}`,
			by: by.trim(),
			...(draft.productId !== null && draft.amount !== null
				? { productId: draft.productId, amount: draft.amount }
				: {}),
			...(draft.mixL === null ? {} : { mixL: draft.mixL }),
			wentTo: draft.wentTo,
			done: draft.done,
			told: draft.told,
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
	const line = props.products.find(({ productId }) => productId === draft.productId);
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
			<div className="pair">
				<Pick
					label="Product lost, undiluted"
					clearable
					placeholder="none"
					options={props.products.map(({ productId, name }) => ({ value: productId, label: name }))}
					value={draft.productId}
					onChange={(productId) => set({ productId, ...(productId === null ? { amount: null } : {}) })}
				/>
				<QuantityInput
					label="How much of it"
					{...(line ? { unit: line.unit } : {})}
					min={0.000001}
					required={draft.productId !== null}
					disabled={draft.productId === null}
					value={draft.amount}
					onChange={(lost) => set({ amount: lost })}
				/>
				<QuantityInput
					label="Mix or water lost"
					unit="L"
					min={0}
					value={draft.mixL}
					onChange={(mixL) => set({ mixL })}
				/>
			</div>
			<div className="pair">
				<TextInput
					label="Where it went"
					maxLength={300}
					placeholder="tray, concrete, soil, drain"
					value={draft.wentTo}
					onChange={(event) => set({ wentTo: event.currentTarget.value })}
				/>
				<TextInput
					label="Who was told"
					maxLength={300}
					value={draft.told}
					onChange={(event) => set({ told: event.currentTarget.value })}
				/>
			</div>
			<Textarea
				label="What was done"
				autosize
				minRows={1}
				maxLength={600}
				value={draft.done}
				onChange={(event) => set({ done: event.currentTarget.value })}
			/>
		</EntryForm>
	);
}
