import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { needsTank } from '../../shared/core/loads/application-kind.ts';
import { capital, doseWords, longDate, figure as plain } from '../format.ts';
import { heldWords, isCarriedOn, isNothingToFill, isOnGround, liquidOf, meteredVolumes } from '../held-words.ts';
import { TankColumn } from '../pictures/tank-column.tsx';
import { type Units, UnitsContext, useUnits } from '../units.ts';
import { type CardLayout, layoutOf, type Paper, PICTURE_MM } from './card-layout.ts';
import { CardProducts } from './card-products.tsx';
import { asksFlowering, buffersAsked, isMixed, LABEL_FIRST, noteLines, paceWords } from './card-words.ts';
import { CardGround, CardMarks, FirstChecks } from './card-work.tsx';
import { LabelTexts, LabelTextsOverleaf } from './label-texts.tsx';
import './load-card.css';
import { usSettings, withDryOunces } from './us-words.ts';

/**
 * The card of one load: on screen and, from the same HTML and CSS, on one page of A4 or A5. Type is as large as the load
 * leaves room for; label texts too long for the page go overleaf in full.
 */
export function LoadCardSheet({ card, paper = 'A4' }: { readonly card: LoadCard; readonly paper?: Paper }) {
	const units = withDryOunces(useUnits());
	const layout = layoutOf(card, paper, units);
	return (
		<UnitsContext value={units}>
			<article
				className={`load-card ${paper.toLowerCase()}`}
				style={{ ['--scale' as string]: layout.scale }}
				aria-label={`Load card ${card.code}`}
			>
				<CardHead card={card} />
				<p className="label-first">{LABEL_FIRST}</p>
				<CardGround card={card} />
				<FirstChecks card={card} />
				<CardMarks card={card} />
				<div className={layout.picture ? 'pouring with-picture' : 'pouring'}>
					<div className="pouring-text">
						<CardProducts
							order={card.order}
							orderProblem={card.orderProblem}
							flat={!layout.picture && isMixed(card)}
							byFills={card.plan.fills !== undefined}
						/>
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
		</UnitsContext>
	);
}

function CardHead({ card }: { readonly card: LoadCard }) {
	const from = [longDate(card.date), card.sprayer, card.farm].filter((part) => part !== '');
	const us = usSettings(card, useUnits());
	return (
		<header className="head">
			<div className="which">
				<h1>
					{capital(heldWords(card.plan).one)} {card.load} of {card.loads}
				</h1>
				<p className="job">{card.job}</p>
				<p className="from">{from.join(' · ')}</p>
				{us !== '' && <p className="from">{us}</p>}
			</div>
			<p className="code">
				<strong>{card.code}</strong>
				<span>type this code to log the load</span>
			</p>
			<dl className="figures">
				<HeadFigures card={card} />
			</dl>
		</header>
	);
}

/** What the machine is set by: of a spray tank, volume and nozzles; else the dose. */
function HeadFigures({ card }: { readonly card: LoadCard }) {
	const { units, figure, hectares, litres, name, say } = useUnits();
	const isMetric = units === 'metric';
	const area = <Figure name="area" value={hectares(card.plan.areaHa)} unit={name('ha')} />;
	const speed = <Figure name="speed" value={figure(card.speedKmh, 'km/h', 1)} unit={name('km/h')} />;
	if (!needsTank(card.kind)) {
		return (
			<>
				{isOnGround(card) && area}
				{card.order.map(({ productId, name, dose }) => (
					<Dose key={productId} name={card.order.length > 1 ? `dose of ${name}` : 'dose'} dose={dose} />
				))}
				{card.seed?.slurry && <Dose name="slurry" dose={card.seed.slurry} />}
				{isOnGround(card) && speed}
			</>
		);
	}
	const asWater = card.carrier && `${plain(card.carrier.sprayVolumeAsWaterLPerHa)} L/ha`;
	return (
		<>
			{area}
			<Figure
				name={card.kind === 'neat liquid' ? 'in the tank' : 'mix in the tank'}
				value={litres(card.plan.totalL)}
				unit={name('L')}
			/>
			<Figure
				name="spray volume"
				value={figure(card.sprayVolumeLPerHa, 'L/ha', isMetric ? 0 : 1)}
				unit={name('L/ha')}
			/>
			{speed}
			<Figure name="pressure" value={figure(card.pressureBar, 'bar', isMetric ? 1 : 0)} unit={name('bar')} />
			<Figure name="boom height" value={figure(card.boomHeightM, 'm', 2)} unit={name('m')} />
			<div className="nozzle">
				<dt>nozzle</dt>
				<dd>
					{card.nozzle ?? '–'}
					{asWater !== null && <small> set as for {say(asWater)} of water</small>}
				</dd>
			</div>
		</>
	);
}

/** A dose as it was said, or in the units of the farm. */
function Dose({ name, dose }: { readonly name: string; readonly dose: Parameters<typeof doseWords>[0] }) {
	const [value = '', ...unit] = useUnits().say(doseWords(dose)).split(' ');
	return <Figure name={name} value={value} unit={unit.join(' ')} />;
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
				load={meteredVolumes(card.plan)}
				products={isCarriedOn(card.plan) ? [] : card.order}
				capacityL={card.capacityL}
				startL={card.order.length > 0 && card.kind !== 'neat liquid' && !isCarriedOn(card.plan) ? card.startL : null}
				fill={card.fill}
				liquid={liquidOf(card)}
				width={280}
				height={layout.pictureHeight}
			/>
		</div>
	);
}

/** Of the containers; where none is opened there is nothing to rinse. */
function Rinse({ card }: { readonly card: LoadCard }) {
	const units = useUnits();
	if (isNothingToFill(card.plan)) return null;
	return (
		<p className="rinse">
			<strong>{needsTank(card.kind) ? 'Rinse.' : 'Empty.'}</strong> {units.say(card.rinseRule)}{' '}
			{card.fill && paceWords(card.pace, units)}
		</p>
	);
}

/** What asks for a look, then what holds for every load. */
function Notes({ card }: { readonly card: LoadCard }) {
	const { look, usual } = noteLines(card, useUnits());
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

/** What is seen in the field. */
const SEEN = 'wind, temperature';
const BLANKS = ['began', 'ended', 'metered water, L', 'mix left, L', SEEN, 'signature'] as const;
const OTHER_BLANKS: Readonly<Partial<Record<LoadCard['kind'], readonly string[]>>> = {
	'spray in liquid fertiliser': ['began', 'ended', 'metered, L', 'mix left, L', SEEN, 'signature'],
	'neat liquid': ['began', 'ended', 'metered, L', 'left, L', SEEN, 'signature'],
	granules: ['began', 'ended', 'left in the hopper, kg', 'area spread, ha', SEEN, 'signature'],
	'seed treatment': ['began', 'ended', 'seed treated', 'product used', 'lot', 'signature'],
	'closed space': ['began', 'ended', 'product used', 'shut until', 'ventilated until', 'signature'],
};
const SLURRY_BLANKS = ['began', 'ended', 'seed treated', 'product used', 'water, L', 'lot, signature'];

/** `metered water, gal` */
function inUnits(blank: string, { name }: Units): string {
	return blank.replace(/(?<=, )(L|kg|ha)$/, name);
}

function blanksOf(card: LoadCard, units: Units): readonly string[] {
	const blanks = card.plan.slurryL === undefined ? (OTHER_BLANKS[card.kind] ?? BLANKS) : SLURRY_BLANKS;
	const seen = [SEEN, asksFlowering(card) && 'in flower', buffersAsked(card).length > 0 && 'buffer'];
	const asked = isNothingToFill(card.plan) ? blanks.filter((name) => !name.startsWith('metered')) : blanks;
	return asked.map((name) => (name === SEEN ? seen.filter(Boolean).join(', ') : inUnits(name, units)));
}

function ByHand({ card }: { readonly card: LoadCard }) {
	return (
		<div className="by-hand">
			<div className="blank wide">
				<span className="name">operator</span>
				<span className="line">{card.operator ?? ''}</span>
			</div>
			{blanksOf(card, useUnits()).map((name) => (
				<div key={name} className="blank">
					<span className="name">{name}</span>
					<span className="line" />
				</div>
			))}
		</div>
	);
}
