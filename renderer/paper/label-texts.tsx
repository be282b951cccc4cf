import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import type { Paper } from './card-layout.ts';
import { type Caution, hazardTexts, LABEL_FIRST, labelTexts } from './card-words.ts';

type Order = LoadCard['order'];

/** Protective equipment and cautions as the products on the books carry them, by the step each goes in at. */
export function LabelTexts({ order, byName = false }: { readonly order: Order; readonly byName?: boolean }) {
	const protection = labelTexts(order, 'protection');
	const cautions = labelTexts(order, 'cautions');
	const hazards = hazardTexts(order);
	return (
		<div className="label-texts">
			<p>
				<strong>Protect yourself.</strong>{' '}
				{protection.length === 0 && 'No protective equipment is on the books: wear what the labels ask for.'}
				<Texts texts={protection} byName={byName} />
			</p>
			{hazards.length > 0 && (
				<p>
					<strong>Hazards.</strong> <Texts texts={hazards} byName={byName} />
				</p>
			)}
			{cautions.length > 0 && (
				<p>
					<strong>Cautions.</strong> <Texts texts={cautions} byName={byName} />
				</p>
			)}
		</div>
	);
}

function Texts({ texts, byName }: { readonly texts: readonly Caution[]; readonly byName: boolean }) {
	return texts.map(({ steps, names, text }) => (
		<span key={`${steps} ${text}`}>
			<b>{byName ? names : steps}:</b> {text}{' '}
		</span>
	));
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
			<LabelTexts order={card.order} byName />
		</article>
	);
}
