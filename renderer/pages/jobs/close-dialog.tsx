import { Button, Checkbox, SegmentedControl, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { capital } from '../../format.ts';
import { isOnGround } from '../../held-words.ts';
import { portionWord, restWord } from '../../kind-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByField, type FieldAreas } from './close-by-field.tsx';
import { nextLoad } from './job-words.ts';
import { useRemembered } from './use-kept.ts';
import { type CountedWashings, NOT_COUNTED, WashingsCounted, washedOut, washingsOf } from './washings-counted.tsx';

type Props = {
	readonly job: Job;
	readonly opened: boolean;
	readonly onClose: () => void;
	readonly onDone: (said: string) => void;
};

/** Ends a job with what the sprayer itself says. */
export function CloseDialog(props: Props) {
	return (
		<Dialog title={`Close ${props.job.name}`} opened={props.opened} onClose={props.onClose} size="wide">
			<CloseForm {...props} />
		</Dialog>
	);
}

type End = 'left' | 'ran out';

/** One line: sprayed area, litres, what was left. Each may be left empty; what is reported can be held against the books. */
function CloseForm({ job, onClose, onDone }: Props) {
	const farmUnits = useUnits();
	const [way, rememberWay] = useRemembered('close-by-field');
	const [byField, setByField] = useState(job.fields.length > 1 && way === 'yes');
	const [sprayedHa, setSprayedHa] = useState<number | null>(null);
	const [onFields, setOnFields] = useState<FieldAreas>(new Map());
	const [adds, rememberAdds] = useRemembered(`counter-adds-overlap-${job.sprayerId}`);
	const [withOverlap, setWithOverlap] = useState(adds === 'yes');
	const [controllerL, setControllerL] = useState<number | null>(null);
	const [end, setEnd] = useState<End>('left');
	const washed = washedOut(job);
	const [rest, setRest] = useState<number | null>(washed.leftL);
	const [counted, setCounted] = useState<CountedWashings>(NOT_COUNTED);
	const [note, setNote] = useState('');
	const fields = [...onFields].flatMap(([fieldId, areaHa]) =>
		areaHa === null ? [] : [{ fieldId, sprayedHa: areaHa }],
	);
	const reported = byField ? fields.length > 0 : sprayedHa !== null;
	const close = useCommand(
		(api, _: null, key) =>
			api.jobs.close({
				key,
				id: job.id,
				...(byField ? (fields.length > 0 ? { fields } : {}) : sprayedHa === null ? {} : { sprayedHa }),
				...(reported ? { withOverlap } : {}),
				...(controllerL === null ? {} : { controllerL }),
				...(rest === null ? {} : end === 'left' ? { leftL: rest } : { ranOutHa: rest }),
				...(washingsOf(counted, washed) ?? {}),
				...(note.trim() === '' ? {} : { note: note.trim() }),
				...(job.logs.at(-1) ? { by: job.logs.at(-1)?.operator } : {}),
			}),
		() => {
			if (job.fields.length > 1) rememberWay(byField ? 'yes' : 'no');
			if (reported) rememberAdds(withOverlap ? 'yes' : 'no');
			onDone('The job is closed.');
			onClose();
		},
	);
	const open = nextLoad(job);
	const hasTank = needsTank(job.kind);
	const restLeft = `${capital(restWord(job.kind))} left`;
	const loadedHa = job.fields.reduce((sum, { areaHa }) => sum + areaHa, 0);
	return (
		<EntryForm
			command={close}
			onSubmit={() => close.run(null)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it open
					</Button>
					<Button type="submit" loading={close.busy}>
						Close the job
					</Button>
				</>
			}
		>
			{open !== null && (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<div>
						{capital(portionWord(job.kind))} {open} is not logged in full. A closed job takes no more of them.
					</div>
				</div>
			)}
			{isOnGround(job) && (
				<p className="quiet">
					Read it off the machine. What it has no counter for is left empty; the more is reported, the better ground,
					tank and store can be held against each other.
				</p>
			)}
			{isOnGround(job) && job.fields.length > 1 && (
				<SegmentedControl
					aria-label="How its counter was read"
					data={[
						{ value: 'job', label: 'Area of the whole job' },
						{ value: 'fields', label: 'Field by field' },
					]}
					value={byField ? 'fields' : 'job'}
					onChange={(value) => setByField(value === 'fields')}
				/>
			)}
			{isOnGround(job) && byField && <ByField job={job} areas={onFields} onChange={setOnFields} />}
			{isOnGround(job) && (
				<div className="close-line">
					{!byField && (
						<QuantityInput
							label={hasTank ? 'Sprayed area' : 'Area spread'}
							unit="ha"
							description={`By its own counter; loaded for ${farmUnits.hectares(loadedHa)}`}
							min={0.0001}
							autoFocus
							value={sprayedHa}
							onChange={setSprayedHa}
						/>
					)}
					{hasTank && (
						<>
							<QuantityInput
								label="Litres sprayed"
								unit="L"
								description={`By its controller; planned ${farmUnits.litres(job.plan.totals.mixL)}`}
								min={0}
								value={controllerL}
								onChange={setControllerL}
							/>
							<div>
								<span className="entry-label" id="close-end">
									At the end
								</span>
								<SegmentedControl<End>
									fullWidth
									aria-labelledby="close-end"
									data={[
										{ value: 'left', label: restLeft },
										{ value: 'ran out', label: 'Ran out' },
									]}
									value={end}
									onChange={(next) => {
										setEnd(next);
										setRest(next === 'left' ? washed.leftL : null);
									}}
								/>
							</div>
							<QuantityInput
								label={end === 'left' ? restLeft : 'Still to go'}
								unit={end === 'left' ? 'L' : 'ha'}
								description={
									end === 'ran out'
										? 'Hectares not reached'
										: washed.leftL === null
											? 'In the tank, with sump'
											: 'With sump, before it was washed out'
								}
								min={0}
								value={rest}
								onChange={setRest}
							/>
						</>
					)}
				</div>
			)}
			{reported && (
				<Checkbox
					label="The counter adds ground covered twice"
					description="Kept as machine area, apart from treated ground; remembered for this sprayer"
					checked={withOverlap}
					onChange={(event) => setWithOverlap(event.currentTarget.checked)}
				/>
			)}
			{hasTank && (reported || controllerL !== null) && (
				<WashingsCounted washed={washed} value={counted} onChange={setCounted} />
			)}
			<TextInput label="Note" maxLength={4000} value={note} onChange={(event) => setNote(event.currentTarget.value)} />
		</EntryForm>
	);
}
