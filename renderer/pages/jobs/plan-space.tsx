import { SegmentedControl } from '@mantine/core';
import { Link } from 'wouter';
import type { ClosedSpace } from '../../../shared/contract/spaces.ts';
import { emptySpace, type SpaceUnit } from '../../../shared/core/loads/closed-space.ts';
import { figure } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CropAndCode } from './crop-and-code.tsx';
import type { SpaceDraft } from './plan-draft.ts';

type Props = { readonly space: SpaceDraft; readonly onChange: (part: Partial<SpaceDraft>) => void };

const units: readonly { readonly value: SpaceUnit; readonly label: string }[] = [
	{ value: 'm³', label: 'air, m³' },
	{ value: 'm²', label: 'surface, m²' },
	{ value: 't', label: 'stored crop, t' },
];

/** The closed space that is treated: which, what of it the dose is for, and what is stored in it. */
export function PlanSpace({ space, onChange }: Props) {
	const asked = useProcedure(['spaces'], (api) => api.spaces.list({}));
	const spaces = asked.answer ?? [];
	const chosen = spaces.find(({ id }) => id === space.spaceId);
	return (
		<>
			<h2>Closed space</h2>
			<ProblemNotice problem={asked.problem} />
			{asked.answer && spaces.length === 0 ? (
				<p className="notice" role="status">
					<span className="word">First</span>
					<span>
						No closed space is on the books. <Link href="/spaces">Put the store on the books</Link> with its volume or
						floor area.
					</span>
				</p>
			) : (
				<>
					<div className="row low">
						<div>
							<div className="entry-label" id="space-unit">
								The dose is for
							</div>
							<SegmentedControl<SpaceUnit>
								aria-labelledby="space-unit"
								data={[...units]}
								value={space.unit}
								onChange={(unit) => onChange({ unit, amount: null })}
							/>
						</div>
						<div>
							<div className="entry-label" id="space-holds">
								It is
							</div>
							<SegmentedControl
								aria-labelledby="space-holds"
								data={[
									{ value: 'empty', label: chosen ? emptySpace(chosen.kind) : 'empty' },
									{ value: 'in use', label: 'in use' },
								]}
								value={space.inUse ? 'in use' : 'empty'}
								onChange={(value) => onChange({ inUse: value === 'in use' })}
							/>
						</div>
					</div>
					<div className="pair above">
						<Pick
							label="Closed space"
							required
							options={spaces.map(({ id, name }) => ({ value: id, label: name }))}
							description={chosen && sizeWords(chosen)}
							value={space.spaceId}
							onChange={(spaceId) => onChange({ spaceId })}
						/>
						<QuantityInput
							label={treatedLabels[space.unit]}
							unit={space.unit}
							required={wanted(chosen, space.unit) === undefined}
							min={0.001}
							description={space.unit === 't' ? 'Of the stored crop' : 'Left empty: all of it, as on the books'}
							placeholder={String(wanted(chosen, space.unit) ?? '')}
							value={space.amount}
							onChange={(amount) => onChange({ amount })}
						/>
						<QuantityInput
							label="Mix in all"
							unit="L"
							min={0.001}
							description="Product and water; left empty: no water"
							value={space.mixL}
							onChange={(mixL) => onChange({ mixL })}
						/>
						{space.inUse && (
							<CropAndCode of={space} label="Crop in it" description="Stored or grown there" onChange={onChange} />
						)}
					</div>
				</>
			)}
		</>
	);
}

const treatedLabels: Readonly<Record<SpaceUnit, string>> = {
	'm³': 'Volume treated',
	'm²': 'Surface treated',
	t: 'Crop treated',
};

function wanted(space: ClosedSpace | undefined, unit: SpaceUnit): number | undefined {
	return unit === 'm³' ? space?.volumeM3 : unit === 'm²' ? space?.floorM2 : undefined;
}

/** `12,000 m³, floor 1,500 m²` */
export function sizeWords({ volumeM3, floorM2 }: ClosedSpace): string {
	const parts = [
		volumeM3 === undefined ? null : `${figure(volumeM3)} m³`,
		floorM2 === undefined ? null : `floor ${figure(floorM2)} m²`,
	].filter((part) => part !== null);
	return parts.length > 0 ? parts.join(', ') : 'no size on the books';
}
