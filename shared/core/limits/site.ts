import { writtenDate, writtenDay } from '../../basics/calendar.ts';
import { type Check, incomplete, type Outcome, sameName } from './limit.ts';
import { windowAround } from './period.ts';

/**
 * A condition of the ground on which the label does not allow use: drained land, a slope towards water, sandy soil. With
 * `from` and `to` only in that window of every year. Whether it holds is answered once for a field; until then it asks.
 */
export function site({ limit, application }: Check): Outcome {
	const { condition, from, to } = limit;
	const { ground, date } = application;
	if (!condition) return incomplete(limit, 'condition');
	if ((from === undefined) !== (to === undefined)) return incomplete(limit, 'second date of the window');
	const answer = ground.conditions?.find((one) => sameName(one.condition, condition));
	const known = {
		limit: condition,
		value: answer === undefined ? null : answer.holds ? 'yes' : 'no',
		unit: null,
	};
	const window =
		from === undefined || to === undefined ? '' : ` from ${writtenDay(from)} to ${writtenDay(to)} of each year`;
	const rule = `Not allowed on this ground${window}: ${condition}.`;
	if (from !== undefined && to !== undefined && windowAround(date, from, to) === null) {
		return { ...known, verdict: 'ok', say: `${rule} ${writtenDate(date)} is outside.` };
	}
	if (answer === undefined) return { ...known, verdict: 'ask', say: `${rule} Does it hold there?` };
	if (answer.holds) return { ...known, verdict: 'block', say: `${rule} The register says that it holds there.` };
	return { ...known, verdict: 'ok', say: `${rule} The register says that it does not hold there.` };
}
