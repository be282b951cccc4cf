import { Link } from 'wouter';
import type { TakeLine } from '../../../shared/contract/stock-take.ts';
import { count, shortDate } from '../../format.ts';
import { Answered } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { MovementTable } from './movement-table.tsx';

/** Where a difference may come from: products it could be mistaken for, the loads that drew it, every movement since. */
export function LookInto({ takeId, line }: { readonly takeId: string; readonly line: TakeLine }) {
	const farmUnits = useUnits();
	const asked = useProcedure(['store', 'look into', takeId, line.productId], (api) =>
		api.store.lookInto({ takeId, productId: line.productId }),
	);
	return (
		<Answered asked={asked}>
			{({ since, movements, loads, mistakenFor }) => (
				<>
					{mistakenFor.length > 0 && (
						<>
							<h2>It may have been taken for</h2>
							<ul className="plain-list notes">
								{mistakenFor.map((other) => (
									<li key={other.productId}>
										<b>{other.name}</b>
										{other.difference !== null && other.difference !== 0 && (
											<>
												{' '}
												{farmUnits.signed(other.difference, other.unit, 2)} {farmUnits.name(other.unit)}
											</>
										)}
										<span className="second quiet small">{other.reasons.join(', ')}</span>
									</li>
								))}
							</ul>
						</>
					)}
					{loads.length > 0 && (
						<>
							<h2>{count(loads.length, 'load')} drew it</h2>
							<Table
								caption={`Loads with ${line.name}`}
								rows={loads}
								rowKey={(row) => `${row.jobId} ${row.load}`}
								columns={[
									{ key: 'on', head: 'Date', cell: (row) => shortDate(row.on) },
									{
										key: 'job',
										head: 'Load',
										cell: (row) => (
											<>
												<Link href={`/jobs/${row.jobId}`}>{row.job}</Link>, load {row.load}
											</>
										),
									},
									{
										key: 'amount',
										head: 'poured',
										number: true,
										cell: (row) => farmUnits.amount(row.amount, row.unit),
									},
								]}
							/>
						</>
					)}
					<h2>{since ? `Movements since the count of ${shortDate(since)}` : 'Every movement, it was never counted'}</h2>
					<MovementTable rows={movements} short />
				</>
			)}
		</Answered>
	);
}
