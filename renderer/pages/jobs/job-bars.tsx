import { SegmentedControl } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import { readingsOfTheJob } from '../../../shared/core/reconcile/end-readings.ts';
import { capital, signed } from '../../format.ts';
import { isOnGround } from '../../held-words.ts';
import { restWord } from '../../kind-words.ts';
import { Facts } from '../../parts/page.tsx';
import { ThreeBars } from '../../pictures/three-bars.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

/**
 * A closed job held against itself: ground by the sprayer's counter, tank by what was poured. What left the store for it
 * is known once the store is counted; the season says that.
 */
export function JobBars({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	const [chosen, setChosen] = useState(job.products[0]?.productId ?? '');
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const days = [job.date, ...job.logs.map(({ startedAt }) => startedAt.slice(0, 10))].sort();
	const from = days[0] ?? job.date;
	const to = days.at(-1) ?? job.date;
	const balance = useProcedure(['season', 'reconcile', from, to], (api) => api.season.reconcile({ from, to }));
	const product = job.products.find(({ productId }) => productId === chosen) ?? job.products[0];
	const closing = job.closing;
	if (!product || !closing || !isOnGround(job)) return null;
	const { counterHa } = readingsOfTheJob(closing);
	const byCounter = counterHa !== null;
	const groundHa = counterHa ?? job.fields.reduce((sum, { treatedHa }) => sum + treatedHa, 0);
	const sigmaHa = Math.hypot(
		...job.fields.map(({ fieldId }) => fields.answer?.find(({ id }) => id === fieldId)?.sigmaHa ?? 0),
	);
	const poured = job.logs
		.filter(({ state }) => state !== 'reversed')
		.flatMap(({ products }) => products)
		.filter(({ productId }) => productId === product.productId)
		.reduce((sum, { amount }) => sum + amount, 0);
	const dosePerHa = product.dosePerHa ?? 0;
	const own = balance.answer?.jobs.find(({ jobId }) => jobId === job.id);
	return (
		<section className="job-bars" aria-label="Ground, tank and store">
			<div className="row spread">
				<h2>Ground = tank = store</h2>
				{job.products.length > 1 && (
					<SegmentedControl
						size="xs"
						aria-label="Product"
						data={job.products.map(({ productId, name }) => ({ value: productId, label: name }))}
						value={product.productId}
						onChange={setChosen}
					/>
				)}
			</div>
			<ThreeBars
				name={product.name}
				unit={product.unit}
				ground={{ amount: groundHa * dosePerHa, sigma: byCounter ? null : sigmaHa * dosePerHa }}
				tank={{ amount: poured }}
				store={null}
			/>
			<p className="quiet small">
				Ground is dose × {byCounter ? 'area by the machine’s counter' : 'area treated by the register'}, tank what{' '}
				{job.kind === 'granules' ? 'went out of the hopper' : 'was poured'}. What left the store shows in the season,
				between two stock takes.
			</p>
			<Facts
				items={[
					closing.sprayedHa !== null && [
						job.kind === 'granules' ? 'Spread by its counter' : 'Sprayed by its counter',
						`${farmUnits.area(closing.sprayedHa)}${own?.areaRatio === undefined ? '' : `, ${percent(own.areaRatio)} against loaded for`}`,
					],
					closing.controllerL !== null && [
						'Sprayed by its controller',
						`${farmUnits.volume(closing.controllerL)}${own?.meterRatio === undefined ? '' : `, meter ${percent(own.meterRatio)} against it`}`,
					],
					closing.washings && [
						'Washings within it',
						[
							...(closing.controllerL === null ? [] : [`${farmUnits.volume(closing.washings.litres)}`]),
							...(closing.sprayedHa === null ? [] : [`${farmUnits.area(closing.washings.areaHa)}`]),
						].join(', '),
					],
					closing.leftL !== null && [
						`${capital(restWord(job.kind))} left`,
						`${farmUnits.volume(closing.leftL)}${expected(own?.expectedLeft, farmUnits)}`,
					],
					closing.ranOutHa !== null && ['Ran out with', `${farmUnits.area(closing.ranOutHa)} to go`],
					closing.note !== null && ['Note', closing.note],
				]}
			/>
			{own && <p className="quiet small above-small">{farmUnits.say(own.say)}</p>}
		</section>
	);
}

function percent(ratio: number): string {
	return `${signed((ratio - 1) * 100, 1)} %`;
}

function expected(left: { readonly low: number; readonly high: number } | undefined, farmUnits: Units): string {
	return left ? `, ${farmUnits.figure(left.low, 'L')} to ${farmUnits.figure(left.high, 'L')} were to be expected` : '';
}
