import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { isCarriedOn, liquidOf, meteredVolumes } from '../../held-words.ts';
import { restWord } from '../../kind-words.ts';
import { BrokenOffColumn } from '../../pictures/broken-off-column.tsx';
import { TankColumn } from '../../pictures/tank-column.tsx';
import { breakOf } from './break-of-load.ts';

/** The tank of the chosen load as it is to be filled, or as it stood when the load was broken off. */
export function JobTank({ job, card }: { readonly job: Job; readonly card: LoadCard }) {
	const { plan, capacityL, kind, fill } = card;
	const broken = breakOf(job, plan);
	if (broken) {
		return (
			<>
				<h2>{broken.mix === 'kept' ? `In the tank, load ${plan.load}` : `When load ${plan.load} was broken off`}</h2>
				<BrokenOffColumn broken={broken} totalL={plan.totalL} capacityL={capacityL} rest={restWord(kind)} />
			</>
		);
	}
	const filled = !isCarriedOn(plan);
	return (
		<>
			<h2>In the tank, load {plan.load}</h2>
			<TankColumn
				load={meteredVolumes(plan)}
				products={filled ? card.order : []}
				capacityL={capacityL}
				startL={filled && card.order.length > 0 && kind !== 'neat liquid' ? card.startL : null}
				fill={fill}
				liquid={liquidOf(card)}
			/>
		</>
	);
}
