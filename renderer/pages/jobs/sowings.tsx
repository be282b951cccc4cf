import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import { figure, hectares, shortDate, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { LimitFindings } from './limit-findings.tsx';
import { TakeBack } from './take-back.tsx';

/** Where treated seed went: from then on it is treated ground. */
export function Sowings({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	const [opened, setOpened] = useState(false);
	const { seed, sowings } = job;
	if (!seed) return null;
	const unit = seed.unit === 'kg' ? 'kg' : 'units';
	const treated = treatedOf(job);
	const left = treated - sowings.reduce((sum, sowing) => sum + sowing.seed, 0);
	return (
		<>
			<h2>Sown</h2>
			{sowings.length > 0 && (
				<Table
					caption="Where the seed was sown"
					rows={sowings}
					rowKey={(row) => row.id}
					columns={[
						{
							key: 'field',
							head: 'Field',
							cell: (row) => (
								<>
									{row.field}
									<span className="second">
										{shortDate(row.date)}, {row.by}
									</span>
								</>
							),
						},
						{ key: 'ha', head: farmUnits.name('ha'), number: true, cell: (row) => farmUnits.hectares(row.areaHa) },
						{ key: 'seed', head: 'seed', number: true, cell: (row) => `${figure(row.seed)} ${unit}` },
						{
							key: 'back',
							head: <span className="visually-hidden">Take back</span>,
							cell: (row) => (
								<TakeBack
									job={job}
									what={`the sowing on ${row.field}`}
									call={(api, key, said) => api.jobs.unsow({ key, sowingId: row.id, ...said })}
								/>
							),
						},
					]}
				/>
			)}
			<p className="quiet above-small">
				{treated === 0
					? 'Nothing is treated yet. Where the seed is sown is entered once it is.'
					: left > 0.0005
						? `${farmUnits.say(`${figure(left)} of ${figure(treated)} ${unit}`)} treated are not sown yet. Sown, they count as treated ground.`
						: 'All of it is sown and counts as treated ground.'}
			</p>
			{left > 0.0005 && (
				<div className="row above-small">
					<Button variant="default" onClick={() => setOpened(true)}>
						Say where it was sown
					</Button>
				</div>
			)}
			<Dialog title="Where was it sown?" opened={opened} onClose={() => setOpened(false)}>
				<SowForm job={job} left={left} onClose={() => setOpened(false)} />
			</Dialog>
		</>
	);
}

function treatedOf({ logs, plan }: Job): number {
	return logs
		.filter(({ state }) => state !== 'reversed')
		.reduce((sum, log) => sum + (log.seed ?? plan.loads.find(({ load }) => load === log.load)?.seed ?? 0), 0);
}

function SowForm({ job, left, onClose }: { readonly job: Job; readonly left: number; readonly onClose: () => void }) {
	const farmUnits = useUnits();
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const [fieldId, setFieldId] = useState<string | null>(job.fields[0]?.fieldId ?? null);
	const [areaHa, setAreaHa] = useState<number | null>(null);
	const [seed, setSeed] = useState<number | null>(Math.round(left * 1000) / 1000);
	const [date, setDate] = useState<string | null>(today());
	const [by, setBy] = useState(job.operator ?? '');
	const field = fields.answer?.find(({ id }) => id === fieldId);
	const area = areaHa ?? field?.loadForHa ?? null;
	const sow = useCommand(
		(api, wanted: { fieldId: string; seed: number; date: string }, key) =>
			api.jobs.sow({
				key,
				jobId: job.id,
				date: wanted.date,
				by: by.trim(),
				fields: [{ fieldId: wanted.fieldId, seed: wanted.seed, ...(areaHa === null ? {} : { areaHa }) }],
			}),
		() => undefined,
	);
	if (sow.answer) {
		return (
			<div className="stack">
				<DoneNotice>{field?.name ?? 'The field'} counts as treated ground.</DoneNotice>
				{sow.answer.findings.length > 0 && (
					<LimitFindings limits={sow.answer.findings} fields={job.fields} heading="Limits that were not kept" />
				)}
				<div className="form-foot">
					<Button data-autofocus onClick={onClose}>
						To the job
					</Button>
				</div>
			</div>
		);
	}
	const unit = job.seed?.unit === 'unit' ? 'units' : 'kg';
	return (
		<EntryForm
			command={sow}
			onSubmit={() => {
				if (fieldId && seed && date) sow.run({ fieldId, seed, date });
			}}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={sow.busy}>
						It was sown there
					</Button>
				</>
			}
		>
			<Pick
				label="Field"
				required
				options={(fields.answer ?? []).map(({ id, name }) => ({ value: id, label: name }))}
				value={fieldId}
				onChange={setFieldId}
			/>
			<div className="pair">
				<QuantityInput
					label="Seed sown"
					unit={unit}
					required
					min={0.001}
					description={`${farmUnits.figure(left, unit)} left of what was treated`}
					value={seed}
					onChange={setSeed}
				/>
				<QuantityInput
					label="Area"
					unit="ha"
					min={0.0001}
					description="Left empty: the area to load for"
					placeholder={field?.loadForHa == null ? '' : hectares(field.loadForHa)}
					value={areaHa}
					onChange={setAreaHa}
				/>
				<DateInput label="Sown on" required value={date} onChange={setDate} />
				<TextInput
					label="By"
					required
					maxLength={200}
					value={by}
					onChange={(event) => setBy(event.currentTarget.value)}
				/>
			</div>
			{seed !== null && area !== null && area > 0 && (
				<p className="quiet">
					{figure(seed / area, 1)} {unit} on one hectare.
				</p>
			)}
		</EntryForm>
	);
}
