import { TextInput } from '@mantine/core';
import type { Job } from '../../../shared/contract/jobs.ts';
import { capital } from '../../format.ts';
import { isOnGround } from '../../held-words.ts';
import { portionWord, restWord } from '../../kind-words.ts';
import { Choice } from '../../parts/choice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { coveredHa, coverInOrder, type LogDraft, type PlannedPart, toAre } from './log-draft.ts';
import { spacesHeading } from './log-spaces.tsx';

type Props = {
	readonly job: Job;
	readonly planned: readonly PlannedPart[];
	readonly draft: LogDraft;
	readonly onChange: (part: Partial<LogDraft>) => void;
};

/** A tenth of the mix that should be left, and at least that of one hectare: nearer than that no tank scale is read. Common practice. */
function doubtfulL(byPlanL: number, { sprayVolumeLPerHa }: Job): number {
	return Math.max(byPlanL / 10, sprayVolumeLPerHa);
}

const reasons = ['rain', 'wind', 'breakdown', 'nightfall', 'crop or ground not fit'] as const;

/** Why the load was broken off, and what became of the mix. The ground so far is entered under "Onto the ground". */
export function LogBreak({ job, planned, draft, onChange }: Props) {
	const farmUnits = useUnits();
	const nowHa = draft.covered.reduce((sum, line) => sum + coveredHa(line, planned), 0);
	const openHa = planned.reduce((sum, { areaHa }) => sum + areaHa, 0) - nowHa;
	const several = isOnGround(job) && draft.covered.length > 1;
	const byPlanL = Math.max(0, openHa * job.sprayVolumeLPerHa);
	return (
		<div className="stack log-break">
			<p className="notice">
				<span className="word">Next</span>
				<span>
					{isOnGround(job)
						? several
							? 'Enter what was covered so far: here in all, or field by field under “Onto the ground”.'
							: 'Enter under “Onto the ground” only what was covered so far.'
						: `Enter under “${job.seed ? 'Onto the seed' : spacesHeading(draft.spaces)}” only what was treated so far.`}
				</span>
			</p>
			{several && (
				<QuantityInput
					label="Covered so far"
					unit="ha"
					description="Off the counter; fills the fields in the order they are sprayed"
					min={0}
					value={draft.covered.every(({ areaHa }) => areaHa === 'plan') ? null : toAre(nowHa)}
					onChange={(totalHa) =>
						onChange({
							covered:
								totalHa === null
									? draft.covered.map((line) => ({ ...line, areaHa: 'plan' }))
									: coverInOrder(draft.covered, planned, totalHa),
						})
					}
				/>
			)}
			<TextInput
				label="Why"
				description="Rain, wind, breakdown …"
				required
				maxLength={200}
				list="reasons-to-break-off"
				value={draft.why}
				onChange={(event) => onChange({ why: event.currentTarget.value })}
			/>
			<datalist id="reasons-to-break-off">
				{reasons.map((reason) => (
					<option key={reason} value={reason} />
				))}
			</datalist>
			{job.sprayVolumeLPerHa > 0 && (
				<QuantityInput
					label={`${capital(restWord(job.kind))} left in the tank`}
					unit="L"
					description={`By the ground entered: ${farmUnits.volume(Math.round(byPlanL))}`}
					min={0}
					value={draft.mixLeftL}
					onChange={(mixLeftL) => onChange({ mixLeftL })}
				/>
			)}
			{draft.mixLeftL !== null && Math.abs(draft.mixLeftL - byPlanL) > doubtfulL(byPlanL, job) && (
				<p className="notice" role="status">
					<span className="word">Look</span>
					<span>
						That is {farmUnits.volume(Math.abs(Math.round(draft.mixLeftL - byPlanL)))}{' '}
						{draft.mixLeftL > byPlanL ? 'more' : 'less'} than the ground entered leaves: check both. If both are right,
						the rate was {draft.mixLeftL > byPlanL ? 'too low' : 'too high'}.
					</span>
				</p>
			)}
			<Choice
				legend={job.sprayVolumeLPerHa > 0 ? `The ${restWord(job.kind)} is` : 'What is left is'}
				value={draft.mix}
				onChange={(mix) => onChange({ mix })}
				options={[
					{ value: 'kept', label: 'kept', detail: `the ${portionWord(job.kind)} is gone on with later` },
					{ value: 'disposed', label: 'disposed of', detail: `the ${portionWord(job.kind)} is over` },
				]}
			/>
		</div>
	);
}
