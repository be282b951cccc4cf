import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { isCarriedOn, quantityWords } from '../held-words.ts';
import { type Units, useUnits } from '../units.ts';
import { marksHead, marksOf } from './card-marks.ts';
import { bufferOn, firstChecks, groundWord, spaceLine } from './card-words.ts';

/** The closed spaces in their order; of several how much of each, and where the applicator's fills end. */
function CardSpaces({ card, indoors: { unit, spaces } }: { readonly card: LoadCard; readonly indoors: Indoors }) {
	const several = spaces.length > 1;
	const units = useUnits();
	return (
		<ul
			className={spaces.length > 4 ? 'fields spaces many' : 'fields spaces'}
			aria-label="Closed spaces of this treatment"
		>
			{spaces.map(({ spaceId, name, amount }, index) => {
				return (
					<li key={spaceId}>
						<Box />
						<span className="name">{name}</span>
						<span className="area">{spaceLine(card, index, units)}</span>
						<span className="buffer">{several ? units.say(quantityWords(amount, unit)) : 'shut it, mark it'}</span>
					</li>
				);
			})}
		</ul>
	);
}

type Indoors = NonNullable<LoadCard['indoors']>;

/** A square to tick by hand. */
export function Box() {
	return <span className="box" aria-hidden="true" />;
}

/** Where this load goes: each field with its part of the area and the buffer to keep there. */
export function CardGround({ card }: { readonly card: LoadCard }) {
	const { ground } = card.plan;
	const { seed, indoors } = card;
	const units = useUnits();
	if (seed) {
		return (
			<ul className="fields" aria-label="Seed">
				<li>
					<Box />
					<span className="name">{seed.crop}</span>
					<span className="area">{seed.lot ? `lot ${seed.lot}` : 'lot: write it here'}</span>
					<span className="buffer">mark the treated seed</span>
				</li>
			</ul>
		);
	}
	if (indoors) return <CardSpaces card={card} indoors={indoors} />;
	return (
		<ul className={ground.length > 4 ? 'fields two' : 'fields'} aria-label="Fields of this load">
			{ground.map((part) => {
				const buffer = bufferOn(card, part.fieldId);
				return (
					<li key={part.fieldId}>
						<Box />
						<span className="name">{part.field}</span>
						<span className="area">{groundWord(part, card, units)}</span>
						<span className="buffer">{buffer === null ? 'buffer: see label' : `buffer ${metres(buffer, units)}`}</span>
					</li>
				);
			})}
		</ul>
	);
}

/** `6 m`, `19.7 ft` */
function metres(value: number, { figure, value: inUnit, name }: Units): string {
	const tenths = Math.round(inUnit(value, 'm') * 10);
	return `${figure(value, 'm', tenths % 10 === 0 ? 0 : 1)} ${name('m')}`;
}

export function FirstChecks({ card }: { readonly card: LoadCard }) {
	return (
		<ul className="checks" aria-label="First checks">
			{firstChecks(card).map((check) => (
				<li key={check}>
					<Box />
					{check}
				</li>
			))}
		</ul>
	);
}

/** The readings of the inlet meter, in figures to read from the cab. */
export function CardMarks({ card }: { readonly card: LoadCard }) {
	const { carriedInL } = card.plan;
	const units = useUnits();
	const marks = marksOf(card, units);
	const head = marksHead(card, units);
	return (
		<section className="marks" aria-label={head}>
			<h2>
				{head}
				{carriedInL > 0 &&
					!isCarriedOn(card.plan) &&
					` · ${units.volume(carriedInL)} of this mix are in the tank already`}
			</h2>
			<ol>
				{marks.map((mark) => (
					<li className="mark" key={`${mark.reading} ${mark.act}`}>
						<p className="reading">
							{mark.reading}
							<small className={mark.unit || units.units !== 'metric' ? 'own' : ''}>
								{' '}
								{mark.unit ?? units.name('L')}
							</small>
						</p>
						<p className="act">
							<Box />
							{mark.act}
						</p>
						{mark.level !== null && <p className="level">{mark.level}</p>}
					</li>
				))}
			</ol>
		</section>
	);
}
