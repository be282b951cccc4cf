import { amount, count, hectares, longDate, shortDate, timeOfDay } from '../../format.ts';
import { useProcedure } from '../../use-procedure.ts';

/** The plans a job had before it was changed, newest first, folded away. */
export function EarlierPlans({ jobId }: { readonly jobId: string }) {
	const { answer = [] } = useProcedure(['jobs', jobId, 'earlier plans'], (api) => api.jobs.earlierPlans({ id: jobId }));
	if (answer.length === 0) return null;
	return (
		<details className="more above">
			<summary>{count(answer.length, 'earlier plan')}</summary>
			<ul className="plain-list">
				{answer.map((plan) => (
					<li key={plan.version}>
						<div>
							<b>
								Until {shortDate(plan.replacedAt)}, {timeOfDay(plan.replacedAt)}
							</b>
							{plan.why && ` ${plan.why}`} <span className="quiet">{plan.by}</span>
							<span className="second">
								{longDate(plan.date)}, {count(plan.loads.length, 'load')} at {plan.sprayVolumeLPerHa} L/ha:{' '}
								{plan.products
									.map(({ product, unit, dosePerHa }) => `${product} ${amount(dosePerHa, unit)}/ha`)
									.join(', ')}
								; {plan.fields.map(({ field, areaHa }) => `${field} ${hectares(areaHa)} ha`).join(', ')}
							</span>
						</div>
					</li>
				))}
			</ul>
		</details>
	);
}
