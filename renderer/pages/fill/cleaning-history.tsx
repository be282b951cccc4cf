import type { Cleaning } from '../../../shared/contract/fills-tank.ts';
import { count, shortDate, timeOfDay } from '../../format.ts';
import { Answered } from '../../parts/page.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { times } from './tank-before.tsx';

const SHOWN = 8;

/** How a sprayer was cleaned so far, newest first: after what, how, and where the washings went. */
export function CleaningHistory({ sprayerId }: { readonly sprayerId: string }) {
	const farmUnits = useUnits();
	const asked = useProcedure(['fills', 'cleanings', sprayerId], (api) => api.fills.cleanings({ sprayerId }));
	return (
		<>
			<h2>Cleaned so far</h2>
			<Answered asked={asked}>
				{(rows) =>
					rows.length === 0 ? (
						<p className="quiet">No cleaning of this sprayer was logged yet.</p>
					) : (
						<>
							<ul className="plain-list ruled cleanings">
								{rows.slice(0, SHOWN).map((row) => (
									<li key={row.id}>
										<b>
											{shortDate(row.at)}, {timeOfDay(row.at)}
										</b>{' '}
										{row.kind}
										<span className="second">{doneWords(row, farmUnits)}</span>
										{row.before && (
											<span className="second">
												{row.kind === 'after filling' ? 'with' : 'after'} {row.before.products.join(', ')}
											</span>
										)}
									</li>
								))}
							</ul>
							{rows.length > SHOWN && (
								<p className="quiet small">
									{count(rows.length - SHOWN, 'earlier one')}: see the cleaning log under Season, Reports.
								</p>
							)}
						</>
					)
				}
			</Answered>
		</>
	);
}

function doneWords(row: Cleaning, farmUnits: Units): string {
	const { rinsesL, residualL, factor, washings, tasks, note, who } = row;
	const water = rinsesL.reduce((sum, each) => sum + each, 0);
	const parts =
		rinsesL.length > 0
			? [
					`${count(rinsesL.length, 'rinse')}, ${farmUnits.volume(water)} of water on ${farmUnits.volume(residualL)} left`,
					factor === null || factor <= 1 ? '' : `${times(factor)} times weaker`,
					washings === null ? '' : `washings: ${washings}`,
				]
			: [tasks.length > 0 ? tasks.join(', ') : 'nothing ticked'];
	return [...parts, note ?? '', `by ${who}`].filter((part) => part !== '').join('; ');
}
