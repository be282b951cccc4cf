import { Link } from 'wouter';
import { figure, shortDate } from '../../format.ts';
import { useProcedure } from '../../use-procedure.ts';

/**
 * What a rest of the last mix could do on the crop sprayed next. Says nothing where nothing is known to matter; where the
 * sprayer was rinsed out since, how far.
 */
export function TankBefore(props: {
	readonly sprayerId: string | null;
	readonly fieldIds: readonly string[];
	readonly productIds: readonly string[];
	readonly date: string | null;
	readonly jobId?: string;
}) {
	const { sprayerId, date, jobId } = props;
	const fieldIds = [...props.fieldIds];
	const productIds = [...props.productIds];
	const asked = useProcedure(
		['fills', 'carry over', sprayerId, fieldIds, productIds, date, jobId],
		(api) =>
			api.fills.carryOver({
				sprayerId: sprayerId ?? '',
				fieldIds,
				productIds,
				...(date === null ? {} : { date }),
				...(jobId === undefined ? {} : { jobId }),
			}),
		{ enabled: sprayerId !== null && fieldIds.length > 0, keepPrevious: true },
	);
	const { last, rinsedOut, notes = [] } = asked.answer ?? {};
	if (!last || notes.length === 0 || fieldIds.length === 0) return null;
	if (rinsedOut) {
		return (
			<p className="quiet above-small">
				Last in the tank: {last.job}, {shortDate(last.on)}. Rinsed out since
				{rinsedOut.factor > 1 && `, ${times(rinsedOut.factor)} times weaker`}; the labels say whether that is enough for
				this crop.
			</p>
		);
	}
	return (
		<div className="notice above-small" role="status">
			<span className="word">Look</span>
			<div>
				<b>The tank was not rinsed out</b> after {last.job}, {shortDate(last.on)}, as far as the books know.
				<ul className="plain-list">
					{notes.map(({ product, say }) => (
						<li key={product}>{say}</li>
					))}
				</ul>
				<Link href="/sprayers">Log that it was rinsed out</Link>
			</div>
		</div>
	);
}

/** `216`, `4.3`: how many times weaker. */
export function times(factor: number): string {
	return figure(factor, factor < 100 ? 1 : 0);
}
