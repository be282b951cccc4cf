import './out-of-store.css';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { DrawnProduct } from '../../../shared/contract/jobs-drawn.ts';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { drawnWords, notAsNamedWords } from './drawn-words.ts';
import { type LogDraft, pouredLines } from './log-draft.ts';

/** Out of what the load would be drawn, as the draft stands. */
export function useDrawAhead(card: LoadCard, draft: LogDraft): readonly DrawnProduct[] {
	const products = draft.amounts === 'entered' ? pouredLines(draft) : [];
	const { jobId, load } = card;
	const ahead = useProcedure(
		['jobs', 'draw ahead', jobId, load, JSON.stringify(products)],
		(api) => api.jobs.drawAhead({ jobId, load, products }),
		{ keepPrevious: true },
	);
	return ahead.answer ?? [];
}

/** Out of which batches each product comes; what the plan named and is not there stands out. */
export function OutOfStore({ card, ahead }: { readonly card: LoadCard; readonly ahead: readonly DrawnProduct[] }) {
	const farmUnits = useUnits();
	const known = ahead.filter(
		({ parts, notAsNamed }) => notAsNamed !== null || parts.some(({ batch }) => batch !== null),
	);
	const nameOf = (id: string) => card.order.find(({ productId }) => productId === id);
	const gone = known.flatMap(({ productId, notAsNamed }) => (notAsNamed ? [{ productId, notAsNamed }] : []));
	if (known.length === 0) return null;
	return (
		<div className="out-of-store">
			<p className="small quiet">
				Out of the store{gone.length === 0 && known.every(({ by }) => by === 'plan') ? ', as the plan named it' : ''}:{' '}
				{known
					.map(
						(line) =>
							`${nameOf(line.productId)?.name ?? '?'}: ${drawnWords(line, nameOf(line.productId)?.unit ?? '', farmUnits)}`,
					)
					.join(' · ')}
			</p>
			{gone.length > 0 && (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<ul>
						{gone.map(({ productId, notAsNamed }) => (
							<li key={productId}>
								<b>{nameOf(productId)?.name ?? '?'}.</b>{' '}
								{notAsNamedWords(notAsNamed, nameOf(productId)?.unit ?? '', farmUnits)}
							</li>
						))}
					</ul>
				</div>
			)}
		</div>
	);
}
