import type { Job } from '../../../shared/contract/jobs.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';

/** By field; null where nothing was read. */
export type FieldAreas = ReadonlyMap<string, number | null>;

/** What the counter said field by field: the register learns from each. */
export function ByField(props: {
	readonly job: Job;
	readonly areas: FieldAreas;
	readonly onChange: (areas: FieldAreas) => void;
}) {
	const farmUnits = useUnits();
	const { job, areas } = props;
	const read = job.fields.flatMap(({ fieldId }) => areas.get(fieldId) ?? []);
	const totalHa = read.reduce((sum, areaHa) => sum + areaHa, 0);
	return (
		<>
			<div className="close-fields">
				{job.fields.map(({ fieldId, name, areaHa }, index) => (
					<QuantityInput
						key={fieldId}
						label={name}
						unit="ha"
						description={`loaded for ${farmUnits.hectares(areaHa)}`}
						min={0.0001}
						autoFocus={index === 0}
						value={areas.get(fieldId) ?? null}
						onChange={(next) => props.onChange(new Map(areas).set(fieldId, next))}
					/>
				))}
			</div>
			<p className="quiet small" role="status">
				{read.length === job.fields.length
					? `Together ${farmUnits.area(totalHa)}.`
					: `${read.length} of ${job.fields.length} fields, ${farmUnits.area(totalHa)}. With all of them their sum is the area of the job.`}
			</p>
		</>
	);
}
