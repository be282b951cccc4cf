import { useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { AreaSteps } from '../../pictures/area-steps.tsx';
import { type Units, useUnits } from '../../units.ts';
import { areaSteps, litresApart } from './area-steps.ts';
import { useLastVolume } from './use-last-volume.ts';

/** The difference of the two areas in words, step by step, against the measuring tolerance, and in litres of mix. */
export function DifferenceExplained({ detail }: { readonly detail: FieldDetail }) {
	const { difference } = detail;
	const units = useUnits();
	const steps = areaSteps(detail);
	return (
		<>
			{difference ? (
				<p className="say">{units.say(difference.say)}</p>
			) : (
				<p className="quiet">With both a measured and a mapped area, their difference is explained here.</p>
			)}
			{steps.length > 0 && (
				<div className="unbroken area-steps">
					<AreaSteps steps={steps} />
				</div>
			)}
			{difference && (
				<p className="above">
					{difference.withinTolerance ? (
						<span className="chip plain">within measuring tolerance</span>
					) : (
						<span className="chip">beyond measuring tolerance</span>
					)}{' '}
					<span className="quiet">
						± {units.area(difference.toleranceHa)} for a field of this perimeter
						{difference.withinTolerance ? '' : ': look at the boundary and at the mapped figure'}
					</span>
				</p>
			)}
			{difference && <InLitres detail={detail} />}
		</>
	);
}

/** What the difference is worth in the tank, at the spray volume of the last job until another is typed. */
function InLitres({ detail }: { readonly detail: FieldDetail }) {
	const units = useUnits();
	const last = useLastVolume();
	const [typed, setTyped] = useState<number | null | undefined>(undefined);
	const volume = typed === undefined ? last : typed;
	return (
		<div className="row low screen-only in-litres">
			<QuantityInput label="Spray volume" unit="L/ha" min={1} max={5000} value={volume} onChange={setTyped} />
			<p aria-live="polite">
				{volume === null
					? `Type a spray volume to see the ${units.units === 'metric' ? 'litres' : 'gallons'}.`
					: inTheTank(detail, volume, units)}
				{typed === undefined && volume !== null && <span className="quiet"> At the volume of the last job.</span>}
			</p>
		</div>
	);
}

function inTheTank(detail: FieldDetail, volume: number, { units, volume: said }: Units): string {
	const apart = litresApart(detail, volume);
	if (apart === null) return '';
	if (Math.abs(apart) < 0.5)
		return `Loaded for either figure, the tank holds the same to the ${units === 'metric' ? 'litre' : 'gallon'}.`;
	const amount = said(Math.round(Math.abs(apart)));
	return apart > 0
		? `Mixed for the mapped area, the tank would run out ${amount} early.`
		: `Mixed for the mapped area, ${amount} would be left in the tank.`;
}
