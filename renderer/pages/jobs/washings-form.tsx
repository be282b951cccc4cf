import { Button, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { WashingsAhead } from '../../../shared/contract/jobs-washings.ts';
import { capital, figure, shortDate, timeOfDay, today } from '../../format.ts';
import { restWord } from '../../kind-words.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { InFlower } from '../../parts/in-flower.tsx';
import { Answered, EntryForm } from '../../parts/page.tsx';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { WeatherInputs } from '../records/weather-inputs.tsx';
import { LimitFindings } from './limit-findings.tsx';
import { usualTimes } from './local-time.ts';
import { groundOf, newWashings, rinsesOf, type WashingsDraft, washingsRequest } from './washings-draft.ts';
import { WashingsGround } from './washings-ground.tsx';

type Props = { readonly job: Job; readonly onClose: () => void };

/** The entry of washings, once it is known what the books say of the rest. */
export function WashingsEntry({ job, onClose }: Props) {
	const known = useProcedure(['jobs', 'washings ahead', job.id], (api) => api.jobs.washingsAhead({ jobId: job.id }));
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const zone = settings.answer?.zone;
	const [isBlank, setBlank] = useState(false);
	// Asked again after the entry, the answer is away for a moment: the form must not be thrown away with it.
	if (known.problem?.code === 'input.invalid' && !isBlank) setBlank(true);
	if (isBlank && zone) return <WashingsForm {...{ job, onClose, zone }} known={null} />;
	return (
		<Answered asked={known}>
			{(answer) => (zone ? <WashingsForm {...{ job, onClose, zone }} known={answer} /> : null)}
		</Answered>
	);
}

const NOTHING_KNOWN: Pick<WashingsAhead, 'leftL' | 'residualL' | 'rinsesL' | 'rinsedAt'> = {
	leftL: 0,
	residualL: 0,
	rinsesL: [],
	rinsedAt: null,
};

function firstDraft({ job, known, zone }: Omit<FormProps, 'onClose'>): WashingsDraft {
	const standing = job.logs.filter(({ state }) => state !== 'reversed');
	const last = standing.toSorted((a, b) => a.finishedAt.localeCompare(b.finishedAt)).at(-1);
	const fields = job.fields.map(({ fieldId }) => ({ fieldId }) as WashingsAhead['fields'][number]);
	const draft = newWashings((known ?? { ...NOTHING_KNOWN, fields }) as WashingsAhead, {
		...usualTimes(Date.now(), zone, last?.finishedAt ?? null),
		operator: last?.operator ?? job.operator ?? '',
	});
	return known ? draft : { ...draft, leftL: null };
}

type FormProps = Props & { readonly known: WashingsAhead | null; readonly zone: string };

function WashingsForm(props: FormProps) {
	const farmUnits = useUnits();
	const { job, known, onClose } = props;
	const [draft, setDraft] = useState(() => firstDraft(props));
	const [none, setNone] = useState(false);
	const set = (part: Partial<WashingsDraft>) => setDraft((now) => ({ ...now, ...part }));
	const { leftL, residualL } = draft;
	const asked = {
		jobId: job.id,
		...(leftL === null ? {} : { leftL }),
		...(residualL === null ? {} : { residualL }),
		rinsesL: rinsesOf(draft),
		fields: groundOf(draft),
		date: draft.date ?? today(),
		...(draft.began === '' ? {} : { startedAt: `${draft.date ?? today()}T${draft.began}` }),
		...(draft.flowering.trim() === '' ? {} : { flowering: draft.flowering.trim() }),
	};
	const ahead = useProcedure(['jobs', 'washings ahead', asked], (api) => api.jobs.washingsAhead(asked), {
		enabled: leftL !== null && leftL > 0,
		keepPrevious: true,
	});
	const log = useCommand((api, wanted: NonNullable<ReturnType<typeof washingsRequest>>, key) =>
		api.jobs.logWashings({ key, ...wanted }),
	);
	if (log.answer) return <Logged job={job} logged={log.answer} onClose={onClose} />;
	return (
		<EntryForm
			command={log}
			onSubmit={() => {
				const wanted = washingsRequest(draft, job.id);
				setNone(wanted !== null && wanted.fields.length === 0);
				if (wanted && wanted.fields.length > 0) log.run(wanted);
			}}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={log.busy}>
						Log the washings
					</Button>
				</>
			}
		>
			<LoggedBefore job={job} />
			<div className="close-line">
				<QuantityInput
					label={`${capital(restWord(job.kind))} left`}
					unit="L"
					description="With sump and lines"
					required
					min={0.01}
					autoFocus
					value={leftL}
					onChange={(value) => set({ leftL: value })}
				/>
				<QuantityInput
					label="Stays inside"
					unit="L"
					description="Each time it is sprayed out"
					required
					min={0}
					value={residualL}
					onChange={(value) => set({ residualL: value })}
				/>
				<QuantityInput
					label="Rinses"
					whole
					description={draft.rinses === null ? 'As noted with the sprayer' : 'Sprayed out one by one'}
					min={0}
					max={10}
					value={draft.rinses}
					onChange={(rinses) => set({ rinses })}
				/>
				<QuantityInput
					label="Clean water each"
					unit="L"
					description={
						draft.rinses === null
							? draft.noted.map((each) => farmUnits.litres(each)).join(' + ')
							: 'From the clean tank'
					}
					min={0.01}
					value={draft.eachL}
					onChange={(eachL) => set({ eachL })}
				/>
			</div>
			{known?.rinsedAt && (
				<p className="quiet small">
					Rinses as noted with the sprayer, {shortDate(known.rinsedAt)} {timeOfDay(known.rinsedAt)}.
				</p>
			)}
			<ProblemNotice problem={ahead.problem} />
			{ahead.answer && <p aria-live="polite">{heldWords(ahead.answer, farmUnits)}</p>}
			<h3>Onto which ground</h3>
			<WashingsGround
				ground={draft.ground}
				rooms={ahead.answer?.fields ?? known?.fields ?? []}
				onChange={(ground) => {
					setNone(false);
					set({ ground });
				}}
			/>
			{none && (
				<p className="notice stop" role="alert">
					<span className="word">Not yet</span>
					<span>Enter on how many hectares they went, of one field at least.</span>
				</p>
			)}
			{ahead.answer && ahead.answer.findings.length > 0 && (
				<LimitFindings
					limits={told(ahead.answer.findings)}
					fields={groundOf(draft)}
					heading="Limits these washings would not keep"
				/>
			)}
			<div className="close-line">
				<DateInput label="On" required value={draft.date} onChange={(date) => set({ date })} />
				<TimeInput label="Began" value={draft.began} onChange={(began) => set({ began })} />
				<TimeInput label="Ended" value={draft.ended} onChange={(ended) => set({ ended })} />
				<TextInput
					label="Operator"
					required
					maxLength={120}
					autoComplete="off"
					value={draft.operator}
					onChange={(event) => set({ operator: event.currentTarget.value })}
				/>
			</div>
			{(draft.flowering !== '' || ahead.answer?.findings.some(({ kind }) => kind === 'flowering')) && (
				<InFlower value={draft.flowering} onChange={(flowering) => set({ flowering })} />
			)}
			<WeatherInputs value={draft.weather} onChange={(weather) => set({ weather })} />
			<Checkbox
				label="Note the sprayer as rinsed out with it"
				checked={draft.rinsedOut}
				onChange={(event) => set({ rinsedOut: event.currentTarget.checked })}
			/>
			<TextInput
				label="Note"
				maxLength={4000}
				value={draft.note}
				onChange={(event) => set({ note: event.currentTarget.value })}
			/>
			<p className="quiet small">
				The label comes first: only onto ground it allows, never onto a no-spray strip, and by the local rules on
				washings. The figures inform; they prove nothing clean.
			</p>
		</EntryForm>
	);
}

/** What is on the books already, so that the same washings are not entered twice. */
function LoggedBefore({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	const standing = job.washings.filter(({ state }) => state === 'current');
	if (standing.length === 0) return null;
	return (
		<div className="notice" role="status">
			<span className="word">Look</span>
			<div>
				Logged before:{' '}
				{standing
					.map(
						({ sprayedL, fields, startedAt }) =>
							`${farmUnits.volume(sprayedL)} on ${fields.map(({ field }) => field).join(', ')}, ${shortDate(startedAt)} ${timeOfDay(startedAt)}`,
					)
					.join('; ')}
				. What is entered here comes on top.
			</div>
		</div>
	);
}

/** What was done is recorded whatever the limits say: nothing stops here. */
function told(findings: WashingsAhead['findings']): WashingsAhead['findings'] {
	return findings.map((finding) => (finding.verdict === 'block' ? { ...finding, verdict: 'warn' } : finding));
}

/** `300 L go out with 0.10 L Copper; what stays inside is 216 times weaker.` */
function heldWords({ sprayedL, products, factor, mixL }: WashingsAhead, farmUnits: Units): string {
	if (mixL <= 0) return 'Nothing comes out yet: enter the rinses, or more left than stays inside.';
	const held = products.map((line) => `${farmUnits.amount(line.amount, line.unit)} ${line.name}`).join(', ');
	const weaker = factor > 1 ? `; what stays inside is then ${figure(factor)} times weaker` : '';
	return `${farmUnits.volume(sprayedL)} go out with ${held}${weaker}. It was poured with the loads: nothing leaves the store again.`;
}

function Logged(props: {
	readonly job: Job;
	readonly logged: { readonly recordIds: readonly string[]; readonly findings: WashingsAhead['findings'] };
	readonly onClose: () => void;
}) {
	const { job, logged, onClose } = props;
	return (
		<div className="stack">
			<DoneNotice>The washings stand on the spray records and count in the limits.</DoneNotice>
			{logged.findings.length > 0 && (
				<LimitFindings
					limits={told(logged.findings)}
					fields={job.fields}
					heading="Stored with the record: limits that were not kept"
				/>
			)}
			<div className="form-foot">
				<Button data-autofocus onClick={onClose}>
					To the job
				</Button>
			</div>
		</div>
	);
}
