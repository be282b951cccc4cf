import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { count, shortDate } from '../../format.ts';
import { Answered } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { doseWords, type Treatment, treatmentsOf } from '../records/treatments.ts';

const AT_FIRST = 6;
/** Hectares nearer than this are the same ground to a reader. */
const SAME_GROUND_HA = 0.005;

/** What was put on this ground, newest first, also under the names it had before. */
export function GroundHistory({ field: { id, name } }: Pick<FieldDetail, 'field'>) {
	const units = useUnits();
	const [all, setAll] = useState(false);
	const lines = useProcedure(['records', 'ground', id], (api) => api.records.list({ fieldId: id, ground: true }));
	return (
		<>
			<h2>Put on this ground</h2>
			<Answered asked={lines}>
				{(found) => {
					const treatments = treatmentsOf(found);
					if (treatments.length === 0) return <p className="quiet">No record yet.</p>;
					return (
						<>
							<Table
								caption="Put on this ground"
								rows={all ? treatments : treatments.slice(0, AT_FIRST)}
								rowKey={(treatment) => treatment.jobId}
								columns={[
									{
										key: 'on',
										head: 'Date',
										cell: ({ lastDate }) => <span className="nowrap">{shortDate(lastDate)}</span>,
									},
									{
										key: 'what',
										head: 'What',
										cell: (treatment) => (
											<>
												<Link href={`/jobs/${treatment.jobId}`}>
													{treatment.products
														.map((product) => `${product.name} ${units.say(doseWords(product))}`)
														.join(', ')}
												</Link>
												<span className="second">
													{treatment.title}
													{treatment.washings.length > 0 &&
														`, washings on ${treatment.washings.map(({ areaHa }) => units.area(areaHa)).join(' and ')}`}
												</span>
												<EarlierName treatment={treatment} now={name} />
											</>
										),
									},
									{
										key: 'area',
										head: units.name('ha'),
										number: true,
										cell: ({ treatedHa }) => units.hectares(treatedHa),
									},
								]}
							/>
							{treatments.length > AT_FIRST && (
								<Button className="screen-only" variant="subtle" size="xs" onClick={() => setAll(!all)}>
									{all ? 'Only the newest' : `All ${count(treatments.length, 'treatment')}`}
								</Button>
							)}
						</>
					);
				}}
			</Answered>
		</>
	);
}

/** Under which name it was put on, and how much of that must lie on the ground of this field. */
function EarlierName({ treatment, now }: { readonly treatment: Treatment; readonly now: string }) {
	const { area, hectares } = useUnits();
	const [line] = treatment.lines;
	const names = [...new Set(treatment.fields.map((field) => field.name))].filter((name) => name !== now);
	if (!line || names.length === 0) return null;
	const { onGround } = line;
	if (!onGround) return <span className="second">as {names.join(', ')}</span>;
	const { leastHa, mostHa } = onGround;
	const here =
		mostHa - leastHa < SAME_GROUND_HA
			? `${area(mostHa)} of it here`
			: leastHa < SAME_GROUND_HA
				? `at most ${area(mostHa)} of it here`
				: `${hectares(leastHa)} to ${area(mostHa)} of it here`;
	return (
		<span className="second">
			as {names.join(', ')}, {here}
		</span>
	);
}
