import { useMemo } from 'react';
import type { Washings } from '../../../shared/contract/jobs-washings.ts';
import { asGeometry, mapField } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { leftOutLooks } from '../../map/looks.tsx';
import { Answered } from '../../parts/page.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

type Lying = Washings['fields'][number];

/** Where washings lie on a field, with the strips and obstacles there. */
export function WashingsMap({ lying }: { readonly lying: Lying }) {
	const farmUnits = useUnits();
	const field = useProcedure(['fields', lying.fieldId], (api) => api.fields.get({ id: lying.fieldId }));
	const shown = useMemo(() => {
		const { answer } = field;
		const own = answer?.geometry
			? [mapField({ id: answer.field.id, name: answer.field.name, geometry: answer.geometry }, '', 'quiet')]
			: [];
		const strips = (answer?.strips ?? []).flatMap(({ id, label, kind, areaHa, geometry }) =>
			geometry
				? [
						{
							id,
							name: label,
							says: `${farmUnits.area(areaHa)} not sprayed`,
							geometry: asGeometry(geometry),
							shade: leftOutLooks[kind].look,
						},
					]
				: [],
		);
		const says = `${farmUnits.area(lying.areaHa)}, ${lying.over}`;
		const part = lying.ground
			? [mapField({ id: 'washings', name: 'Washings', geometry: lying.ground }, says, 'changed')]
			: [];
		return [...own, ...strips, ...part];
	}, [field, lying, farmUnits]);
	return (
		<Answered asked={field}>
			{() => <FieldMap fields={shown} height={420} label={`Where the washings lie on ${lying.field}`} />}
		</Answered>
	);
}
