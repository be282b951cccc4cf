import { renderToStaticMarkup } from 'react-dom/server';
import type { LoadCard } from '../../shared/contract/jobs.ts';
import type { Paper } from './card-layout.ts';
import cardStyle from './load-card.css?inline';
import { LoadCardSheet } from './load-card-sheet.tsx';
import { paperPage } from './paper-page.ts';

const pages = {
	A4: '@page { size: A4 portrait; margin: 10mm 10mm 9mm; }',
	A5: '@page { size: A5 portrait; margin: 8mm 7mm 7mm; }',
} as const;

/** Load cards as one self-contained page of HTML, each on a sheet of its own. */
export function loadCardsHtml(cards: readonly LoadCard[], { paper }: { readonly paper: Paper }): string {
	const [first] = cards;
	return paperPage({
		title: first ? `Load cards ${first.job}` : 'Load cards',
		css: `${pages[paper]}\n${cardStyle}`,
		body: cards.map((card) => renderToStaticMarkup(<LoadCardSheet card={card} paper={paper} />)).join('\n'),
	});
}
