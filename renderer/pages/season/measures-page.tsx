import { Button } from '@mantine/core';
import { Link } from 'wouter';
import type { Api } from '../../api.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Page } from '../../parts/page.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { FarmLine } from './farm-line.tsx';
import { FindingEntry } from './finding-entry.tsx';
import { JobRatios } from './job-ratios.tsx';
import { type Period, SeasonBefore, usePeriod } from './period.tsx';
import { ProductBars } from './product-bars.tsx';
import { SeasonHead } from './season-head.tsx';

export type Reconciliation = Awaited<ReturnType<Api['season']['reconcile']>>;
export type ProductBalance = Reconciliation['products'][number];
export type Finding = Reconciliation['findings'][number];

/** More products than this are in one recipe: the causes tell more than as many pictures. */
const MOST_BARS = 4;

/** Do ground, tank and store agree; if not, what can explain it and where to look first. */
export function MeasuresPage() {
	const period = usePeriod();
	const { dates } = period;
	const asked = useProcedure(
		['season', 'reconcile', dates?.from, dates?.to],
		(api, signal) => api.season.reconcile({ from: dates?.from ?? '', to: dates?.to ?? '' }, { signal }),
		{ enabled: dates !== null },
	);
	const used = (asked.answer?.products ?? []).filter(isUsed);
	return (
		<Page title={`Season, ${period.words}`} columns={used.length > 0 ? 'two' : 'one'}>
			<section>
				<SeasonHead at="/season" period={period} />
				{dates && (
					<Answered asked={asked}>
						{(answer) =>
							used.length > 0 ? (
								<Findings reconciliation={answer} used={used} period={period} />
							) : (
								<NothingYet say={answer.say} period={period} />
							)
						}
					</Answered>
				)}
			</section>
			{asked.answer && used.length > 0 && (
				<section aria-label="The farm and its jobs">
					<FarmLine farm={asked.answer.farm} />
					<JobRatios jobs={asked.answer.jobs} />
				</section>
			)}
		</Page>
	);
}

function Findings(props: {
	readonly reconciliation: Reconciliation;
	readonly used: readonly ProductBalance[];
	readonly period: Period;
}) {
	const { reconciliation, used, period } = props;
	const { findings, say } = reconciliation;
	const concerned = findings.map(({ productIds }) =>
		used.filter(({ productId }) => productIds.includes(productId)).slice(0, MOST_BARS),
	);
	const others = used.filter((product) => !concerned.flat().includes(product));
	return (
		<>
			<p className="say">{say}</p>
			{findings.length === 0 ? (
				<Unproved reconciliation={reconciliation} period={period} />
			) : (
				<ol className="findings">
					{findings.map((finding, index) => (
						<li key={`${finding.productIds.join()} ${finding.evidence}`}>
							<FindingEntry finding={finding} products={concerned[index] ?? []} number={index + 1} />
						</li>
					))}
				</ol>
			)}
			<h2>{findings.length > 0 ? 'The other products' : 'Each product'}, three measures of the same amount</h2>
			<p className="quiet small">
				Ground: dose × treated area. Tank: poured in logged loads, with what stays in sump and lines. Store: first
				count, deliveries and other movements, less the last count. The whisker is what measuring leaves open.
			</p>
			<div className="bars">
				{others.map((product) => (
					<ProductBars key={product.productId} product={product} />
				))}
			</div>
		</>
	);
}

/** Agreement is worth as much as what was reported for it. */
function Unproved({ reconciliation, period }: { readonly reconciliation: Reconciliation; readonly period: Period }) {
	const { products, jobs } = reconciliation;
	const uncounted = products.filter(({ counted, loads }) => !counted && loads > 0);
	const unreported = jobs.filter(({ areaRatio }) => areaRatio === undefined);
	if (uncounted.length === 0 && unreported.length === 0) return null;
	const neverCounted = products.every(({ counted }) => !counted);
	return (
		<>
			<ul className="cautions" aria-label="What would prove more">
				{uncounted.length > 0 && (
					<li>
						{uncounted.length === 1 ? '1 product was' : `${uncounted.length} products were`} not counted twice in this
						period: the store says nothing about {uncounted.length === 1 ? 'it' : 'them'}.{' '}
						<Link href="/store/counts">Take stock</Link>
					</li>
				)}
				{unreported.length > 0 && (
					<li>
						{unreported.length === 1 ? '1 job' : `${unreported.length} jobs`} without a sprayed area from the counter:
						enter it, with the litres and the mix left, when <Link href="/jobs">closing the job</Link>.
					</li>
				)}
			</ul>
			{neverCounted && period.season === period.present && (
				<p className="above">
					<SeasonBefore period={period} />
				</p>
			)}
		</>
	);
}

function NothingYet({ say, period }: { readonly say: string; readonly period: Period }) {
	return (
		<Empty
			title={say}
			next={
				<>
					<Button component={Link} href="/store/counts">
						Take stock
					</Button>
					<Button component={Link} href="/jobs" variant="default">
						Go to the jobs
					</Button>
					<SeasonBefore period={period} />
				</>
			}
		>
			Three things make the measures independent: the loads as they were poured, the sprayed area by the sprayer’s
			counter at the end of each job, and two counts of the store.
		</Empty>
	);
}

function isUsed({ loads, store }: ProductBalance): boolean {
	return loads > 0 || (store !== null && store !== 0);
}
