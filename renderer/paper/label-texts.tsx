import type { LoadCard } from '../../shared/contract/jobs.ts';
import type { Paper } from './card-layout.ts';
import { LABEL_FIRST, labelTexts } from './card-words.ts';

/** Protective equipment and cautions as the products on the books carry them. */
export function LabelTexts({ order }: { readonly order: LoadCard['order'] }) {
	const protection = labelTexts(order, 'protection');
	const cautions = labelTexts(order, 'cautions');
	return (
		<div className="label-texts">
			<p>
				<strong>Protect yourself.</strong>{' '}
				{protection.length === 0 && 'No protective equipment is on the books: wear what the labels ask for.'}
				{protection.map(({ names, text }) => (
					<span key={text}>
						<b>{names}:</b> {text}{' '}
					</span>
				))}
			</p>
			{cautions.length > 0 && (
				<p>
					<strong>Cautions.</strong>{' '}
					{cautions.map(({ names, text }) => (
						<span key={text}>
							<b>{names}:</b> {text}{' '}
						</span>
					))}
				</p>
			)}
		</div>
	);
}

/** The same in full on a page of its own. */
export function LabelTextsOverleaf({ card, paper }: { readonly card: LoadCard; readonly paper: Paper }) {
	return (
		<article className={`load-card continued ${paper.toLowerCase()}`} aria-label={`Load card ${card.code}, overleaf`}>
			<header className="head">
				<h1>
					Load {card.load} of {card.loads}, overleaf
				</h1>
				<p className="code">
					<strong>{card.code}</strong>
				</p>
			</header>
			<p className="label-first">{LABEL_FIRST}</p>
			<LabelTexts order={card.order} />
		</article>
	);
}
