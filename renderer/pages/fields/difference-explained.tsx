import { useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { hectares, litres } from '../../format.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { AreaSteps } from '../../pictures/area-steps.tsx';
import { areaSteps, litresApart } from './area-steps.ts';
import { useLastVolume } from './use-last-volume.ts';

/** The difference of the two areas in words, step by step, against the measuring tolerance, and in litres of mix. */
export function DifferenceExplained({ detail }: { readonly detail: FieldDetail }) {
	const { difference } = detail;
	const steps = areaSteps(detail);
	return (
		<>
			{difference ? (
				<p className="say">{difference.say}</p>
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
						± {hectares(difference.toleranceHa)} ha for a field of this perimeter
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
	const last = useLastVolume();
	const [typed, setTyped] = useState<number | null | undefined>(undefined);
	const volume = typed === undefined ? last : typed;
	return (
		<div className="row low screen-only in-litres">
			<QuantityInput label="Spray volume" unit="L/ha" min={1} max={5000} value={volume} onChange={setTyped} />
			<p aria-live="polite">
				{volume === null ? 'Type a spray volume to see the litres.' : inTheTank(detail, volume)}
				{typed === undefined && volume !== null && <span className="quiet"> At the volume of the last job.</span>}
			</p>
		</div>
	);
}

function inTheTank(detail: FieldDetail, volume: number): string {
	const apart = litresApart(detail, volume);
	if (apart === null) return '';
	if (Math.abs(apart) < 0.5) return 'Loaded for either figure, the tank holds the same to the litre.';
	const amount = litres(Math.round(Math.abs(apart)));
	return apart > 0
		? `Mixed for the mapped area, the tank would run out ${amount} L early.`
		: `Mixed for the mapped area, ${amount} L would be left in the tank.`;
}
