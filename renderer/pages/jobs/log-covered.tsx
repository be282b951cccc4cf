import { Checkbox, TextInput } from '@mantine/core';
import type { Job } from '../../../shared/contract/jobs.ts';
import { restWord } from '../../kind-words.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { AddPick } from './add-pick.tsx';
import {
	type CoveredLine,
	coveredHa,
	type LogDraft,
	NOT_SEEN,
	type PlannedPart,
	plannedArea,
	SAME_HA,
	shownCovered,
	toAre,
} from './log-draft.ts';
import { WeatherEntries } from './log-weather.tsx';

type Props = {
	readonly job: Job;
	readonly planned: readonly PlannedPart[];
	readonly draft: LogDraft;
	readonly onChange: (part: Partial<LogDraft>) => void;
};

/** The ground the load went onto, field by field, filled in as planned. */
export function LogCovered({ job, planned, draft, onChange }: Props) {
	const farmUnits = useUnits();
	const nameOf = new Map(job.fields.map(({ fieldId, name }) => [fieldId, name]));
	const others = job.fields.filter(({ fieldId }) => !draft.covered.some((line) => line.fieldId === fieldId));
	const set = (fieldId: string, part: Partial<CoveredLine>) =>
		onChange({ covered: draft.covered.map((line) => (line.fieldId === fieldId ? { ...line, ...part } : line)) });
	return (
		<>
			<h2>Onto the ground</h2>
			<div className="log-ground">
				{draft.covered.map((line) => {
					const name = nameOf.get(line.fieldId) ?? 'Field';
					const plannedHa = plannedArea(line.fieldId, planned);
					return (
						<div className="log-field" key={line.fieldId}>
							<QuantityInput
								label={name}
								unit="ha"
								required
								min={0}
								{...(plannedHa > 0 ? { description: `planned ${farmUnits.hectares(plannedHa)}` } : {})}
								value={shownCovered(line, planned)}
								onChange={(areaHa) =>
									set(line.fieldId, { areaHa: areaHa !== null && areaHa === toAre(plannedHa) ? 'plan' : areaHa })
								}
							/>
							{draft.ownTimes && (
								<>
									<TextInput
										type="time"
										label={`Began, ${name}`}
										value={line.began}
										onChange={(event) => set(line.fieldId, { began: event.currentTarget.value })}
									/>
									<TextInput
										type="time"
										label={`Ended, ${name}`}
										value={line.ended}
										onChange={(event) => set(line.fieldId, { ended: event.currentTarget.value })}
									/>
									<WeatherEntries
										seen={line.weather}
										usual={draft}
										on={name}
										onChange={(part) => set(line.fieldId, { weather: { ...line.weather, ...part } })}
									/>
								</>
							)}
						</div>
					);
				})}
			</div>
			<CoveredSum job={job} planned={planned} draft={draft} />
			<div className="log-more">
				{draft.covered.length > 1 && (
					<Checkbox
						label="Each field with its own times and weather"
						checked={draft.ownTimes}
						onChange={(event) => onChange({ ownTimes: event.currentTarget.checked })}
					/>
				)}
				{others.length > 0 && (
					<AddPick
						label="Another field of the job"
						options={others.map(({ fieldId, name }) => ({ value: fieldId, label: name }))}
						onAdd={(fieldId) =>
							onChange({
								covered: [...draft.covered, { fieldId, areaHa: null, began: '', ended: '', weather: NOT_SEEN }],
							})
						}
						nothingFound="No such field in this job"
					/>
				)}
			</div>
		</>
	);
}

/** Says at once what more or less ground than planned means for the mix. */
function CoveredSum({ job, planned, draft }: Omit<Props, 'onChange'>) {
	const farmUnits = useUnits();
	const plannedHa = planned.reduce((sum, { areaHa }) => sum + areaHa, 0);
	const nowHa = draft.covered.reduce((sum, line) => sum + coveredHa(line, planned), 0);
	const offHa = nowHa - plannedHa;
	const offL = Math.abs(offHa) * job.sprayVolumeLPerHa;
	return (
		<p className="quiet above-small" role="status">
			Together {farmUnits.area(nowHa)} of {farmUnits.hectares(plannedHa)} planned.
			{job.sprayVolumeLPerHa > 0 &&
				!draft.stopped &&
				offHa < -SAME_HA &&
				` About ${farmUnits.volume(Math.round(offL))} of ${restWord(job.kind)} should be left.`}
			{job.sprayVolumeLPerHa > 0 &&
				!draft.stopped &&
				offHa > SAME_HA &&
				` The ${restWord(job.kind)} went ${farmUnits.volume(Math.round(offL))} further than planned.`}
		</p>
	);
}
