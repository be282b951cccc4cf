import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import { clock, count, formulationAfter } from '../../format.ts';
import { withDryOunces } from '../../paper/us-words.ts';
import { useUnits } from '../../units.ts';
import { kindOf, sizeOf } from './fill-words.ts';
import type { Sheet } from './yard-top.tsx';

type Props = { readonly sheet: Sheet; readonly at: FillNow; readonly onDone: () => void };

/** The container in hand, how many are left, and the one press when it is done. */
export function YardContainers({ sheet, at, onDone }: Props) {
	const units = withDryOunces(useUnits());
	const { card, given } = sheet;
	const all = given.containers.length;
	const container = at.next === null ? undefined : given.containers[at.next];
	const after =
		at.next === null
			? undefined
			: given.containers.find((_, index) => index > (at.next ?? 0) && !at.state.done.has(index + 1));
	if (!container) {
		return (
			<section className="yard-panel" aria-label="Containers">
				<p className="yard-head">Containers</p>
				<p className="yard-name">
					{all === 0
						? `${card.carrier?.name ?? 'Water'} only`
						: all === 1
							? 'The container is in'
							: `All ${all} are in`}
				</p>
				<p className="yard-under">{card.rinseRule}</p>
			</section>
		);
	}
	const line = card.order.find(({ name }) => name === container.product);
	const waits = at.firstInS > 0 && at.state.done.size === 0;
	return (
		<section className="yard-panel" aria-label="Containers">
			<p className="yard-head" aria-live="polite">
				Container {(at.next ?? 0) + 1} of {all}
				<span className="yard-left">{at.left === 1 ? 'the last one' : `${at.left} left`}</span>
			</p>
			<p className="yard-name">
				{container.product} <small>{formulationAfter(container.product, line?.formulation ?? '')}</small>
			</p>
			<p className="yard-figure store">
				{sizeOf(container, units)} <small>{kindOf(container, card)}</small>
			</p>
			<p className="yard-under">
				{waits
					? `Open it at ${units.volume(given.startL)} in the tank${at.state.openedAt === null ? '' : `, in about ${clock(at.firstInS)}`}.`
					: after
						? after.product === container.product
							? `Then ${sizeOf(after, units)} more of it.`
							: `Then ${sizeOf(after, units)} ${after.product}.`
						: `${count(all, 'container')} in all.`}
				{line?.protection && <span className="yard-wear">{line.protection}</span>}
			</p>
			<button type="button" className="yard-press" onClick={onDone} disabled={at.state.openedAt === null}>
				Container done <kbd>Space</kbd>
			</button>
		</section>
	);
}
