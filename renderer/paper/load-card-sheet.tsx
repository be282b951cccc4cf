import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { figure, litres, longDate } from '../format.ts';
import { TankColumn } from '../pictures/tank-column.tsx';
import { type CardLayout, layoutOf, type Paper, PICTURE_MM } from './card-layout.ts';
import { CardProducts } from './card-products.tsx';
import { LABEL_FIRST, noteLines, paceWords } from './card-words.ts';
import { CardGround, CardMarks, FirstChecks } from './card-work.tsx';
import { LabelTexts, LabelTextsOverleaf } from './label-texts.tsx';
import './load-card.css';

/**
 * The card of one load: on screen and, from the same HTML and CSS, on one page of A4 or A5. Type is as large as the load
 * leaves room for; label texts too long for the page go overleaf in full.
 */
export function LoadCardSheet({ card, paper = 'A4' }: { readonly card: LoadCard; readonly paper?: Paper }) {
	const layout = layoutOf(card, paper);
	return (
		<>
			<article
				className={`load-card ${paper.toLowerCase()}`}
				style={{ ['--scale' as string]: layout.scale }}
				aria-label={`Load card ${card.code}`}
			>
				<CardHead card={card} />
				<p className="label-first">{LABEL_FIRST}</p>
				<CardGround card={card} />
				<FirstChecks />
				<CardMarks card={card} />
				<div className={layout.picture ? 'pouring with-picture' : 'pouring'}>
					<div className="pouring-text">
						<CardProducts order={card.order} orderProblem={card.orderProblem} flat={!layout.picture} />
						<Rinse card={card} />
						{layout.overleaf ? (
							<p className="overleaf">Protective equipment and label cautions: overleaf.</p>
						) : (
							<LabelTexts order={card.order} />
						)}
					</div>
					{layout.picture && <Picture card={card} paper={paper} layout={layout} />}
				</div>
				<Notes card={card} />
				<ByHand card={card} />
			</article>
			{layout.overleaf && <LabelTextsOverleaf card={card} paper={paper} />}
		</>
	);
}

function CardHead({ card }: { readonly card: LoadCard }) {
	const from = [longDate(card.date), card.sprayer, card.farm].filter((part) => part !== '');
	return (
		<header className="head">
			<div className="which">
				<h1>
					Load {card.load} of {card.loads}
				</h1>
				<p className="job">{card.job}</p>
				<p className="from">{from.join(' · ')}</p>
			</div>
			<p className="code">
				<strong>{card.code}</strong>
				<span>type this code to log the load</span>
			</p>
			<dl className="figures">
				<Figure name="area" value={figure(card.plan.areaHa, 2)} unit="ha" />
				<Figure name="mix in the tank" value={litres(card.plan.totalL)} unit="L" />
				<Figure name="spray volume" value={figure(card.sprayVolumeLPerHa)} unit="L/ha" />
				<Figure name="speed" value={figure(card.speedKmh, 1)} unit="km/h" />
				<Figure name="pressure" value={figure(card.pressureBar, 1)} unit="bar" />
				<Figure name="boom height" value={figure(card.boomHeightM, 2)} unit="m" />
				<div className="nozzle">
					<dt>nozzle</dt>
					<dd>{card.nozzle ?? '–'}</dd>
				</div>
			</dl>
		</header>
	);
}

function Figure({ name, value, unit }: { readonly name: string; readonly value: string; readonly unit: string }) {
	return (
		<div>
			<dt>{name}</dt>
			<dd>
				{value}
				{value !== '–' && <small> {unit}</small>}
			</dd>
		</div>
	);
}

function Picture(props: { readonly card: LoadCard; readonly paper: Paper; readonly layout: CardLayout }) {
	const { card, paper, layout } = props;
	return (
		<div className="picture-place" style={{ width: `${PICTURE_MM[paper]}mm` }}>
			<TankColumn
				load={card.plan}
				products={card.order}
				capacityL={card.capacityL}
				startL={card.order.length > 0 ? card.startL : null}
				fill={card.fill}
				width={280}
				height={layout.pictureHeight}
			/>
		</div>
	);
}

function Rinse({ card }: { readonly card: LoadCard }) {
	return (
		<p className="rinse">
			<strong>Rinse.</strong> {card.rinseRule} {paceWords(card.pace)}
		</p>
	);
}

/** What asks for a look, then what holds for every load. */
function Notes({ card }: { readonly card: LoadCard }) {
	const { look, usual } = noteLines(card);
	return (
		<ul className="notes">
			{look.map((line) => (
				<li key={line} className="look">
					{line}
				</li>
			))}
			{usual.map((line) => (
				<li key={line}>{line}</li>
			))}
		</ul>
	);
}

const BLANKS = ['began', 'ended', 'metered water, L', 'mix left, L', 'wind, temperature', 'signature'] as const;

function ByHand({ card }: { readonly card: LoadCard }) {
	return (
		<div className="by-hand">
			<div className="blank wide">
				<span className="name">operator</span>
				<span className="line">{card.operator ?? ''}</span>
			</div>
			{BLANKS.map((name) => (
				<div key={name} className="blank">
					<span className="name">{name}</span>
					<span className="line" />
				</div>
			))}
		</div>
	);
}
