import type { Job } from '../../../shared/contract/jobs.ts';
import type { PlannedLoad } from '../../../shared/contract/jobs-plan.ts';
import { capital, figure } from '../../format.ts';
import { heldWords, isOnGround } from '../../held-words.ts';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { loadState, spacesTreated, standingLogs, strategyWords, whereLoadEnds } from './job-words.ts';
import { SpacesInTurn } from './spaces-in-turn.tsx';

/** The loads of a job; the chosen one is shown beside. */
export function JobLoads(props: {
	readonly job: Job;
	readonly chosen: number;
	readonly onChoose: (load: number) => void;
}) {
	const farmUnits = useUnits();
	const { job, chosen } = props;
	const { loads, strategy } = job.plan;
	const load = loads.find((each) => each.load === chosen);
	if (!load) return null;
	const begun = job.state !== 'planned';
	const { one, several, vessels } = heldWords(load);
	return (
		<>
			<h2>{capital(several)}</h2>
			<Table
				caption="Loads of this job"
				rows={loads}
				columns={loadColumns(job, begun, farmUnits)}
				rowKey={(row) => String(row.load)}
				onOpen={(row) => props.onChoose(row.load)}
				selected={String(chosen)}
			/>
			<SpacesInTurn load={load} treated={begun ? spacesTreated(standingLogs(job.logs, chosen)) : undefined} />
			<p className="quiet above-small">
				{load.ground.length > 0 && `${capital(one)} ${chosen} ${whereLoadEnds(loads, chosen, farmUnits)}. `}
				{loads.length > 1 && `Broken into: ${strategyWords(strategy, { several, vessels }).toLowerCase()}.`}
			</p>
		</>
	);
}

function loadColumns(job: Job, begun: boolean, farmUnits: Units): Column<PlannedLoad>[] {
	const { one, place, unit, held } = heldWords(job.plan.loads[0], job.seed?.unit);
	return [
		{ key: 'load', head: capital(one), cell: (row) => row.load },
		...(isOnGround(job)
			? [
					{
						key: 'ha',
						head: farmUnits.name('ha'),
						number: true,
						cell: (row: PlannedLoad) => farmUnits.hectares(row.areaHa),
					},
				]
			: []),
		{ key: 'tank', head: place, number: true, cell: (row) => farmUnits.say(`${held(row)} ${unit}`) },
		...(job.plan.loads[0]?.slurryL === undefined
			? []
			: [{ key: 'water', head: 'water', number: true, cell: (row: PlannedLoad) => farmUnits.amount(row.waterL, 'L') }]),
		begun
			? {
					key: 'state',
					head: <span className="visually-hidden">State</span>,
					cell: (row) => <span className="small">{loadState(job.logs, row.load)}</span>,
				}
			: { key: 'pours', head: 'pours', number: true, cell: (row) => figure(row.measuredPours) },
	];
}

/** The ground of a job with the areas it was planned on, and what is done of it. */
export function JobGround({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	if (job.fields.length === 0) return null;
	const isSeed = job.seed !== null;
	const begun = job.logs.some(({ state }) => state !== 'reversed');
	/** Null where one of them is not known: the others alone are no sum. */
	const total = (of: (field: Job['fields'][number]) => number | null) =>
		job.fields.reduce<number | null>((sum, field) => {
			const one = of(field);
			return sum === null || one === null ? null : sum + one;
		}, 0);
	return (
		<>
			<h2>
				{isSeed ? 'To be sown' : 'Ground to load for'}, {farmUnits.name('ha')}
			</h2>
			<Table
				caption="Ground to load for"
				rows={job.fields}
				rowKey={(row) => row.fieldId}
				columns={[
					{ key: 'name', head: 'Field', cell: (row) => row.name, foot: 'Together' },
					{
						key: 'mapped',
						head: 'mapped',
						number: true,
						cell: (row) => <span className="quiet">{farmUnits.hectares(row.mappedHa)}</span>,
						foot: farmUnits.hectares(total((field) => field.mappedHa)),
					},
					...(begun
						? []
						: [
								{
									key: 'measured',
									head: 'measured',
									number: true,
									cell: (row: Job['fields'][number]) => (
										<span className="quiet">{farmUnits.hectares(row.measuredHa)}</span>
									),
									foot: farmUnits.hectares(total((field) => field.measuredHa)),
								},
							]),
					{
						key: 'load',
						head: isSeed ? 'to sow' : 'to load',
						number: true,
						cell: (row) => farmUnits.hectares(row.areaHa),
						foot: farmUnits.hectares(total((field) => field.areaHa)),
					},
					...(begun
						? [
								{
									key: 'done',
									head: isSeed ? 'sown' : job.kind === 'granules' ? 'spread' : 'sprayed',
									number: true,
									cell: (row: Job['fields'][number]) =>
										row.treatedHa > 0 ? farmUnits.hectares(row.treatedHa) : <span className="quiet">–</span>,
									foot: farmUnits.hectares(total((field) => field.treatedHa)),
								},
							]
						: []),
				]}
			/>
		</>
	);
}
