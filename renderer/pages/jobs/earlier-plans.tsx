import { amount, count, longDate, shortDate, timeOfDay } from '../../format.ts';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

/** The plans a job had before it was changed, newest first, folded away. */
export function EarlierPlans({ jobId }: { readonly jobId: string }) {
	const farmUnits = useUnits();
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
								{longDate(plan.date)}, {count(plan.loads.length, 'load')} at{' '}
								{farmUnits.say(`${plan.sprayVolumeLPerHa} L/ha`)}:{' '}
								{plan.products
									.map(({ product, unit, dosePerHa }) => `${product} ${farmUnits.say(`${amount(dosePerHa, unit)}/ha`)}`)
									.join(', ')}
								; {plan.fields.map(({ field, areaHa }) => `${field} ${farmUnits.area(areaHa)}`).join(', ')}
							</span>
						</div>
					</li>
				))}
			</ul>
		</details>
	);
}
