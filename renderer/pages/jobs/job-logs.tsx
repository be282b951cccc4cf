import { Button } from '@mantine/core';
import type { Job, LoadLog } from '../../../shared/contract/jobs.ts';
import { capital } from '../../format.ts';
import { isOnGround, quantityWords, spacesInAll } from '../../held-words.ts';
import { portionWord } from '../../kind-words.ts';
import { Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { isOtherBatch, notAsNamedWords } from './drawn-words.ts';
import { standingLogs } from './job-words.ts';
import { WhenAndWho } from './when-and-who.tsx';

/** What was logged of a job, load by load; a wrong log is taken back here. */
export function JobLogs({ job, onReverse }: { readonly job: Job; readonly onReverse: (load: number) => void }) {
	const farmUnits = useUnits();
	if (job.logs.length === 0) return null;
	const logs = [...job.logs].sort((a, b) => a.load - b.load || a.startedAt.localeCompare(b.startedAt));
	return (
		<div className="job-logs">
			<h2>Logged</h2>
			<Table
				caption="Logged loads"
				rows={logs}
				rowKey={(row) => row.id}
				muted={(row) => row.state === 'reversed'}
				columns={[
					{ key: 'load', head: capital(portionWord(job.kind)), cell: (row) => row.load },
					{
						key: 'when',
						head: 'When',
						cell: (row) => <WhenAndWho row={row} />,
					},
					{
						key: 'poured',
						head: 'Went in',
						cell: (row) => (
							<>
								{poured(job, row, farmUnits)}
								<span className="second">
									{asPlannedWords(job, row)}
									{row.meteredL !== null && meteredWords(job, row.meteredL, farmUnits)}
									{row.note && `, ${row.note}`}
								</span>
								{notNamed(job, row, farmUnits).map((words) => (
									<span key={words} className="second">
										{words}
									</span>
								))}
							</>
						),
					},
					{
						key: 'ha',
						head: isOnGround(job) ? farmUnits.name('ha') : job.indoors ? 'treated' : 'seed',
						number: true,
						cell: (row) =>
							isOnGround(job)
								? farmUnits.hectares(row.fields.reduce((sum, { areaHa }) => sum + areaHa, 0))
								: quantityWords(row.seed ?? spacesInAll(row.spaces), (job.seed ?? job.indoors)?.unit ?? 'kg'),
					},
					{
						key: 'state',
						head: <span className="visually-hidden">State</span>,
						cell: (row) => <Standing job={job} log={row} onReverse={onReverse} />,
					},
				]}
			/>
		</div>
	);
}

/** Whether amounts were entered: told by what differs from the plan, since a log keeps only whether all of them were. */
function asPlannedWords(job: Job, log: LoadLog): string {
	if (log.confirmed)
		return log.products.some((line) => line.amount > 0) ? 'amounts entered' : 'entered before the stop';
	const planned = job.plan.loads.find(({ load }) => load === log.load)?.products ?? [];
	const alone = standingLogs(job.logs, log.load).length < 2 && log.stopped === null;
	const other = log.products.filter(({ productId, amount: poured }) => {
		const line = planned.find((each) => each.productId === productId);
		return alone && line !== undefined && Math.abs(line.amount - poured) > 1e-6;
	});
	const names = other.map(({ productId }) => job.products.find((each) => each.productId === productId)?.name ?? '?');
	return names.length === 0 ? 'as planned' : `as planned but for ${names.join(', ')}`;
}

function meteredWords({ seed }: Job, meteredL: number, farmUnits: Units): string {
	return seed === null ? `, metered ${farmUnits.volume(meteredL)}` : `, ${farmUnits.amount(meteredL, 'L')} of water`;
}

const stoppedWords = { kept: 'kept', disposed: 'disposed of', 'carried on': 'carried on' } as const;

function Standing(props: { readonly job: Job; readonly log: LoadLog; readonly onReverse: (load: number) => void }) {
	const farmUnits = useUnits();
	const { job, log } = props;
	if (log.state === 'reversed') return <span className="chip plain">reversed</span>;
	const isLast = standingLogs(job.logs, log.load).at(-1)?.id === log.id;
	return (
		<>
			{log.stopped && (
				<p>
					<span className="chip">broken off</span>{' '}
					<span className="small quiet">
						{log.stopped.why}
						{log.stopped.mixLeftL !== null &&
							`, ${farmUnits.volume(log.stopped.mixLeftL)} ${stoppedWords[log.stopped.mix]}`}
						{log.stopped.mixLeftL === null && log.stopped.mix === 'disposed' && ', what was left disposed of'}
					</span>
				</p>
			)}
			{isLast && job.state !== 'closed' && (
				<Button size="compact-sm" variant="subtle" onClick={() => props.onReverse(log.load)}>
					Take back
					<span className="visually-hidden">
						{' '}
						{portionWord(job.kind)} {log.load}
					</span>
				</Button>
			)}
		</>
	);
}

function poured(job: Job, log: LoadLog, farmUnits: Units): string {
	const words = log.products
		.filter((line) => line.amount > 0)
		.map((line) => {
			const product = job.products.find(({ productId }) => productId === line.productId);
			return `${farmUnits.amount(line.amount, product?.unit ?? '')} ${product?.name ?? '?'}`;
		});
	return words.length > 0 ? words.join(', ') : 'nothing more';
}

/** What the plan named for a load and was not there, product by product. */
function notNamed(job: Job, { products }: LoadLog, farmUnits: Units): string[] {
	return products.flatMap(({ productId, notAsNamed }) => {
		const product = job.products.find((line) => line.productId === productId);
		return notAsNamed && isOtherBatch(notAsNamed)
			? [`${product?.name ?? '?'}. ${notAsNamedWords(notAsNamed, product?.unit ?? '', farmUnits)}`]
			: [];
	});
}
