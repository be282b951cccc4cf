import { Button } from '@mantine/core';
import { useEffect, useRef } from 'react';
import { Link, useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { NotAsNamed } from '../../../shared/contract/jobs-drawn.ts';
import type { LimitFinding } from '../../../shared/contract/limits.ts';
import { isKeptAfterwards } from '../../../shared/core/limits/limit.ts';
import { capital, count } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { PageHead } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { isOtherBatch, notAsNamedWords } from './drawn-words.ts';
import { nextLoad } from './job-words.ts';
import { LimitFindings } from './limit-findings.tsx';

export type LoggedLoad = {
	readonly load: number;
	readonly recordIds: readonly string[];
	readonly drawn: readonly { readonly productId: string; readonly amount: number }[];
	readonly notAsNamed: readonly (NotAsNamed & { readonly productId: string })[];
	readonly findings: readonly LimitFinding[];
};

/** What a logged load drew from the store, what is left there, and what comes next. */
export function LogDone({ job, logged }: { readonly job: Job; readonly logged: LoggedLoad }) {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const stock = useProcedure(['store', 'on hand'], (api) => api.store.onHand({}));
	const foot = useRef<HTMLDivElement>(null);
	useEffect(() => foot.current?.querySelector('button')?.focus({ preventScroll: true }), []);
	const next = nextLoad(job);
	const again = next === logged.load;
	const one = portionWord(job.kind);
	const leftOf = (id: string) => stock.answer?.find(({ productId }) => productId === id)?.amount;
	const [notKept, toKeep] = [false, true].map((after) =>
		logged.findings.filter((finding) => isKeptAfterwards(finding) === after),
	) as [LimitFinding[], LimitFinding[]];
	const drawn = logged.drawn.filter((line) => line.amount !== 0);
	const beyond = logged.drawn.some(({ productId }) => (leftOf(productId) ?? 0) < 0);
	return (
		<div className="log-done">
			<p className="quiet small">
				<Link href="/jobs">Jobs</Link> · <Link href={`/jobs/${job.id}`}>{job.name}</Link>
			</p>
			<PageHead title={`${capital(one)} ${logged.load} is logged${again ? ' as broken off' : ''}`} />
			<DoneNotice>
				<Link href="/records">{count(logged.recordIds.length, 'spray record')}</Link> written,{' '}
				{drawn.length > 0 ? 'the store drawn down.' : 'nothing more drawn from the store.'}
			</DoneNotice>
			{drawn.length > 0 && <Drawn job={job} drawn={drawn} leftOf={leftOf} />}
			{logged.notAsNamed.filter(isOtherBatch).map(({ productId, ...parts }) => (
				<p key={productId} className="quiet above-small">
					<b>{productOf(job, productId)?.name ?? '?'}.</b>{' '}
					{notAsNamedWords(parts, productOf(job, productId)?.unit ?? '', farmUnits)} If it was taken from elsewhere,
					take the {one} back and log it with its batches.
				</p>
			))}
			{beyond && (
				<p className="quiet above-small">
					Below zero the book is wrong, not the tank: a delivery is missing, or a count. The difference stands open
					until the next stock take closes it.
				</p>
			)}
			{notKept.length > 0 && (
				<LimitFindings
					limits={notKept}
					fields={job.fields}
					spaces={job.indoors?.spaces}
					heading="Stored with the record: limits that were not kept"
				/>
			)}
			{toKeep.length > 0 && (
				<LimitFindings limits={toKeep} fields={job.fields} spaces={job.indoors?.spaces} heading="To keep from now on" />
			)}
			<div className="row above" ref={foot}>
				{next === null ? (
					<Button onClick={() => go(`/jobs/${job.id}`)}>To the job: it can be closed</Button>
				) : (
					<Button onClick={() => go(`/jobs/${job.id}/${next}`)}>{again ? 'To the job' : `On to ${one} ${next}`}</Button>
				)}
				{again && job.indoors === null && (
					<Button variant="default" onClick={() => go(`/jobs/${job.id}/rest`)}>
						Plan the rest again
					</Button>
				)}
				<Button variant="default" onClick={() => go('/jobs')}>
					All jobs
				</Button>
			</div>
		</div>
	);
}

type DrawnProps = {
	readonly job: Job;
	readonly drawn: LoggedLoad['drawn'];
	readonly leftOf: (productId: string) => number | undefined;
};

/** What a load took out of the store, and what is left of it there. */
function Drawn({ job, drawn, leftOf }: DrawnProps) {
	const farmUnits = useUnits();
	return (
		<>
			<h2>Drawn from the store</h2>
			<Table
				caption="Drawn from the store"
				rows={drawn}
				rowKey={(row) => row.productId}
				columns={[
					{ key: 'name', head: 'Product', cell: (row) => productOf(job, row.productId)?.name ?? '?' },
					{
						key: 'drawn',
						head: 'drawn',
						number: true,
						cell: (row) => <b>{farmUnits.amount(row.amount, productOf(job, row.productId)?.unit ?? '')}</b>,
					},
					{
						key: 'left',
						head: 'left in the store',
						number: true,
						cell: (row) => {
							const left = leftOf(row.productId);
							const words = farmUnits.amount(left, productOf(job, row.productId)?.unit ?? '');
							return left !== undefined && left < 0 ? <span className="chip stop">{words}</span> : words;
						},
					},
				]}
			/>
		</>
	);
}

function productOf(job: Job, id: string) {
	return job.products.find(({ productId }) => productId === id);
}
