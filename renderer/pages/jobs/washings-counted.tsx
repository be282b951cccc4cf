import { Checkbox } from '@mantine/core';
import type { Job } from '../../../shared/contract/jobs.ts';

import { Choice } from '../../parts/choice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';

/** Washings on the books of a job; nothing where none are logged. */
export type WashedOut = { readonly litres: number; readonly areaHa: number; readonly leftL: number | null };

/** What was said of washings in the readings; litres and hectares are entered where none are on the books. */
export type CountedWashings = {
	readonly within: 'no' | 'yes' | null;
	readonly litres: number | null;
	readonly areaHa: number | null;
};
export const NOT_COUNTED: CountedWashings = { within: null, litres: null, areaHa: null };

export function washedOut({ washings }: Pick<Job, 'washings'>): WashedOut {
	const standing = washings.filter(({ state }) => state === 'current');
	return {
		litres: standing.reduce((sum, { sprayedL }) => sum + sprayedL, 0),
		areaHa: standing.flatMap(({ fields }) => fields).reduce((sum, { areaHa }) => sum + areaHa, 0),
		leftL: standing[0]?.leftL ?? null,
	};
}

/** What is sent of it; null where the readings hold none. */
export function washingsOf(said: CountedWashings, washed: WashedOut) {
	if (said.within !== 'yes') return null;
	const { litres: ofLitres, areaHa } = washed.litres > 0 ? washed : said;
	return { washings: { litres: ofLitres ?? 0, areaHa: areaHa ?? 0 } };
}

/** Asks whether counter and controller ran on while washings were sprayed out: else the rate would look wrong by them. */
export function WashingsCounted(props: {
	readonly washed: WashedOut;
	readonly value: CountedWashings;
	readonly onChange: (value: CountedWashings) => void;
}) {
	const farmUnits = useUnits();
	const { washed, value, onChange } = props;
	if (washed.litres > 0) {
		return (
			<Choice<'no' | 'yes'>
				legend={`Washings of this job: ${farmUnits.volume(washed.litres)} on ${farmUnits.area(washed.areaHa)}. Are they in these readings?`}
				required
				options={[
					{ value: 'no', label: 'No: they were read before the washings went out' },
					{ value: 'yes', label: 'Yes: the counters ran on. They are taken off for the comparison' },
				]}
				value={value.within}
				onChange={(within) => onChange({ ...value, within })}
			/>
		);
	}
	return (
		<>
			<Checkbox
				label="Washings are in these readings"
				checked={value.within === 'yes'}
				onChange={(event) => onChange({ ...value, within: event.currentTarget.checked ? 'yes' : null })}
			/>
			{value.within === 'yes' && (
				<div className="close-line">
					<QuantityInput
						label="Of it washings"
						unit="L"
						description="Rest and water sprayed out"
						required
						min={0}
						value={value.litres}
						onChange={(ofLitres) => onChange({ ...value, litres: ofLitres })}
					/>
					<QuantityInput
						label="On ground"
						unit="ha"
						description="As the counter took it"
						min={0}
						value={value.areaHa}
						onChange={(areaHa) => onChange({ ...value, areaHa })}
					/>
				</div>
			)}
		</>
	);
}
