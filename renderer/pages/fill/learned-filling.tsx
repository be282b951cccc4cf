import type { Learned } from '../../../shared/contract/fills.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { count, figure } from '../../format.ts';
import { Answered, Facts } from '../../parts/page.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

/** What the logged fills say of this sprayer: estimate, spread, and how many fills it rests on. */
export function LearnedFilling({ sprayer }: { readonly sprayer: Sprayer }) {
	const learned = useProcedure(['fills', 'learned', sprayer.id], (api) => api.fills.learned({ sprayerId: sprayer.id }));
	return (
		<>
			<h2>Learned from fills</h2>
			<Answered asked={learned}>{(answer) => <Figures learned={answer} />}</Answered>
		</>
	);
}

function Figures({ learned }: { readonly learned: Learned }) {
	const { say } = useUnits();
	const { inflowLPerMin: inflow, secondsPerContainer: pace, fills, usedFrom } = learned;
	if (fills === 0) return <p className="quiet">No fill is logged yet: the settings count.</p>;
	const rate = ({ estimate, spread, n }: typeof inflow, unit: string) =>
		n === 0
			? 'not seen yet'
			: `${figure(estimate)} ± ${figure(spread, spread < 10 ? 1 : 0)} ${unit}, ${count(n, 'fill')}`;
	const waiting = [inflow, pace].some(({ n }) => n < usedFrom);
	return (
		<>
			<Facts
				items={[
					['Water comes in at', say(rate(inflow, 'L/min'))],
					['One container', rate(pace, 's')],
				]}
			/>
			<p className="quiet small">
				{waiting ? `Used instead of the settings from ${usedFrom} fills on.` : 'Used instead of the settings.'}
			</p>
		</>
	);
}
