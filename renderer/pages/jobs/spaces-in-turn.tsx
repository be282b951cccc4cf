import type { PlannedLoad } from '../../../shared/contract/jobs-plan.ts';
import { figure } from '../../format.ts';
import { fillsInSpace, quantityWords, someLitres } from '../../held-words.ts';
import { Table } from '../../parts/table.tsx';

type Space = NonNullable<PlannedLoad['spaces']>[number];

/** Several closed spaces in the order they are treated, with the mix of each and where the fills end; nothing of one alone. */
export function SpacesInTurn({
	load,
	treated,
}: {
	readonly load: PlannedLoad;
	readonly treated?: ReadonlyMap<string, number> | undefined;
}) {
	const { spaces = [], spaceUnit = 'm³' } = load;
	if (spaces.length < 2) return null;
	const withMix = spaces.some(({ mixL }) => mixL !== undefined);
	return (
		<Table
			caption="Closed spaces in their order"
			rows={spaces}
			rowKey={(row) => row.spaceId}
			columns={[
				{
					key: 'name',
					head: 'Closed space',
					cell: (row) => (
						<>
							{row.name}
							{row.fills && <span className="second">{fillsInSpace(row, spaceUnit)}</span>}
						</>
					),
				},
				{ key: 'amount', head: 'to treat', number: true, cell: (row) => quantityWords(row.amount, spaceUnit) },
				...(withMix
					? [{ key: 'mix', head: 'mix', number: true, cell: (row: Space) => `${someLitres(row.mixL)} L` }]
					: []),
				...(treated
					? [
							{
								key: 'done',
								head: 'treated',
								number: true,
								cell: (row: Space) => {
									const done = treated.get(row.spaceId);
									return done ? figure(done, Number.isInteger(done) ? 0 : 1) : <span className="quiet">–</span>;
								},
							},
						]
					: []),
			]}
		/>
	);
}
