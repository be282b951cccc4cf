import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { findingSentences } from '../../shared/core/limits/finding-sentences.ts';
import { isUsCustomary } from '../../shared/core/loads/dose-units.ts';
import { hazardSays } from '../../shared/core/products/hazard-codes.ts';
import { bringsWords } from '../../shared/core/products/nutrient.ts';
import { amount, count, doseWords, figure, formulationAfter } from '../format.ts';
import { fillsInSpace, isNothingToFill } from '../held-words.ts';
import { portionWord } from '../kind-words.ts';
import { type Units, unitsIn } from '../units.ts';
import { usAmount } from './us-words.ts';

type Line = LoadCard['order'][number];

/** Done before the first container is opened. Common practice. */
export const FIRST_CHECKS = [
	'area known',
	'drip tray under the hopper',
	'container under the overflow',
	'hopper about a third full of water',
	'products laid out in this order',
] as const;

/** Are products mixed in a tank, in an order, while it fills? */
export function isMixed({ kind }: Pick<LoadCard, 'kind'>): boolean {
	return kind === 'spray in water' || kind === 'spray in liquid fertiliser';
}

/** The same where nothing is mixed. Common practice. */
const OTHER_CHECKS: Readonly<Partial<Record<LoadCard['kind'], readonly string[]>>> = {
	'spray in liquid fertiliser': [
		'area known',
		'jar test done',
		'drip tray under the hopper',
		'container under the overflow',
		'plain water at hand to make up slurries',
		'products laid out in this order',
	],
	'neat liquid': [
		'area known',
		'hoses and seals fit for fertiliser',
		'container under the overflow',
		'rinse water at hand',
	],
	granules: [
		'area known',
		'calibrated with this product',
		'hopper dry, nothing else in it',
		'spreading width set',
		'bags counted',
	],
	'seed treatment': [
		'seed weighed',
		'seed clean of dust',
		'treater calibrated',
		'product stirred',
		'bags marked as treated',
	],
	'closed space': [
		'nobody and no animal inside',
		'stored food and feed out, or on the label',
		'vents, doors and gaps shut',
		'sparks and flames off',
		'entrances marked',
	],
};

/** Of these checks what is for filling alone. */
const FOR_FILLING: ReadonlySet<string> = new Set([
	'drip tray under the hopper',
	'container under the overflow',
	'hopper about a third full of water',
	'products laid out in this order',
	'jar test done',
	'plain water at hand to make up slurries',
	'hopper dry, nothing else in it',
	'bags counted',
]);

/** The mix of a load that was broken off has stood, and settled. Common practice. */
const STOOD = 'mix stirred up again';

/** The checks of a load; where nothing is filled, those that are left. */
export function firstChecks({ kind, plan }: Pick<LoadCard, 'kind' | 'plan'>): readonly string[] {
	const checks = OTHER_CHECKS[kind] ?? FIRST_CHECKS;
	if (!isNothingToFill(plan)) return checks;
	return [...checks.filter((check) => !FOR_FILLING.has(check)), ...(isMixed({ kind }) ? [STOOD] : [])];
}

export const LABEL_FIRST = 'The label comes first. This card informs; it does not replace the label.';

/** Above this, containers are tallied by hand: a row of so many boxes is no longer counted at a glance. */
const MOST_BOXES = 10;

/** One thing to pour: how it is said, the batch it is taken from, and how many boxes to tick. */
export type Pour = {
	readonly text: string;
	readonly batch?: string;
	readonly boxes: number;
	readonly tally: boolean;
};

/** `2 × 5 L, batch B-17` */
export function pourWords({ text, batch }: Pour): string {
	return batch === undefined ? text : `${text}, batch ${batch}`;
}

/**
 * What goes into the tank of one product: what is left in the opened pack, whole packs, the measured part; with the batch
 * it is taken from where the store holds it all.
 */
export function poursOf(
	{ fromOpened, fullPacks, measured, unit, takes, dose }: PouredLine,
	units: Units = unitsIn.metric,
): Pour[] {
	const jug = jugFor(dose.unit, units);
	const held = takes && !takes.some(({ what }) => what === 'not in the store') ? takes : null;
	if (held) return held.map((take) => pourOf(take, unit, jug));
	const pours: Pour[] = [];
	if (fromOpened > 0) pours.push(emptied(fromOpened, unit, jug));
	for (const { size, count: many } of fullPacks) pours.push(packs(many, size, unit, jug));
	if (measured > 0) pours.push(measuredOut(measured, unit, jug));
	return pours;
}

type PouredLine = Pick<Line, 'fromOpened' | 'fullPacks' | 'measured' | 'unit' | 'takes' | 'dose'>;

/** What amounts and pack sizes are called by the jug or scale they are measured with. */
type Jug = { readonly amount: Said; readonly pack: Said };
type Said = (value: number, unit: string) => string;

/** On a metric farm doses of a US label say their amounts in ounces besides. */
function jugFor(doseUnit: Line['dose']['unit'], { units, say }: Units): Jug {
	const both = units === 'metric' && isUsCustomary(doseUnit);
	const besides: Said = (value, unit) => (both ? ` (${usAmount(value, unit)})` : '');
	return {
		amount: (value, unit) => `${say(amount(value, unit))}${besides(value, unit)}`,
		pack: (size, unit) => `${say(`${packSize(size)} ${unit}`)}${besides(size, unit)}`,
	};
}

function pourOf(
	{ what, count: many, size, amount: taken, batch }: NonNullable<Line['takes']>[number],
	unit: string,
	jug: Jug,
): Pour {
	const pour =
		what === 'opened'
			? emptied(taken, unit, jug)
			: what === 'full'
				? packs(many, size, unit, jug)
				: measuredOut(taken, unit, jug);
	return batch ? { ...pour, batch } : pour;
}

function emptied(left: number, unit: string, jug: Jug): Pour {
	return { text: `empty the opened ${jug.amount(left, unit)}`, boxes: 1, tally: false };
}

function packs(many: number, size: number, unit: string, jug: Jug): Pour {
	const tally = many > MOST_BOXES;
	return { text: `${many} × ${jug.pack(size, unit)}`, boxes: tally ? 1 : many, tally };
}

function measuredOut(part: number, unit: string, jug: Jug): Pour {
	return { text: `measure ${jug.amount(part, unit)}`, boxes: 1, tally: false };
}

/** What stands behind the name: `SC · 1.25 L/ha`. */
export function underName(
	{ name, formulation, dose }: Pick<Line, 'name' | 'formulation' | 'dose'>,
	{ say }: Units = unitsIn.metric,
): string {
	return [formulationAfter(name, formulation), say(doseWords(dose))].filter((words) => words !== '').join(' · ');
}

function packSize(size: number): string {
	const decimals = [0, 1, 2, 3].find((digits) => Math.abs(size - Number(size.toFixed(digits))) < 5e-7) ?? 3;
	return figure(size, decimals);
}

/** Metres to keep on one field: the widest of the job's own and what the labels ask there. */
export function bufferOn({ bufferM, limits }: LoadCard, fieldId: string): number | null {
	const asked = limits.flatMap((limit) =>
		limit.kind === 'buffer' && limit.fieldId === fieldId && typeof limit.limit === 'number' ? [limit.limit] : [],
	);
	const all = bufferM === null ? asked : [bufferM, ...asked];
	return all.length === 0 ? null : Math.max(...all);
}

/** One text with the products it belongs to, by step and by name: the same glove is not printed four times. */
export type Caution = { readonly steps: string; readonly names: string; readonly text: string };

/** Protective equipment and label cautions that the products of this load carry. */
export function labelTexts(order: LoadCard['order'], which: 'protection' | 'cautions'): Caution[] {
	const carrying = order.filter((line) => line[which]?.trim());
	return [...Map.groupBy(carrying, (line) => line[which]?.trim() ?? '')].map(([text, lines]) => ({
		steps: lines.map(({ step }) => step).join(', '),
		names: lines.map(({ name }) => name).join(', '),
		text,
	}));
}

/** What the labels warn of: each statement once, under the steps it belongs to. */
export function hazardTexts(order: LoadCard['order']): Caution[] {
	const all = order.flatMap((line) => line.hazards.map((code) => ({ code, line })));
	const said = [...Map.groupBy(all, ({ code }) => code)].sort().map(([code, lines]) => ({
		steps: lines.map(({ line }) => line.step).join(', '),
		names: lines.map(({ line }) => line.name).join(', '),
		text: `${code} ${hazardSays(code) ?? 'see the label'}`,
	}));
	return [...Map.groupBy(said, ({ steps }) => steps).values()].flatMap(([first, ...rest]) =>
		first ? [{ ...first, text: `${[first, ...rest].map(({ text }) => text).join(', ')}.` }] : [],
	);
}

/** Does a label of the job keep off flowers, so that the log is to say what was in flower? */
export function asksFlowering({ limits }: Pick<LoadCard, 'limits'>): boolean {
	return limits.some(({ kind }) => kind === 'flowering');
}

/** What labels of the job say of distances to keep. */
export function buffersAsked({ limits }: Pick<LoadCard, 'limits'>): LoadCard['limits'] {
	return limits.filter(({ kind, limit }) => kind === 'buffer' && typeof limit === 'number' && limit > 0);
}

/** Limits that ask for a look, in words; limits nobody entered are counted. */
export function limitLines({ limits, keepOut, plan }: LoadCard, { say }: Units = unitsIn.metric): string[] {
	const onCard = new Set(plan.ground.map(({ fieldId }) => fieldId));
	// Of a closed space the card tells itself when it may be entered again.
	const look = limits.filter(
		({ kind, verdict, fieldId }) =>
			(kind !== 'site' || onCard.size === 0 || onCard.has(fieldId)) &&
			(verdict === 'warn' || verdict === 'ask' || verdict === 'block') &&
			!(keepOut && kind === 'reentry'),
	);
	const unknown = limits.filter(({ verdict }) => verdict === 'unknown').length;
	const open = unknown > 0 ? [`${count(unknown, 'limit')} not on the books, so not checked: see the label.`] : [];
	return [...findingSentences(look, { named: false }).map(say), ...open];
}

/** What stands at the foot of a card: what asks for a look, then what holds for every load. */
export function noteLines(
	card: LoadCard,
	units: Units = unitsIn.metric,
): { readonly look: readonly string[]; readonly usual: readonly string[] } {
	const { say } = units;
	const sources = orderSources(card);
	return {
		look: [
			...(card.keepOut ? [say(card.keepOut)] : []),
			...(card.fillProblem ? [say(card.fillProblem)] : []),
			...(card.fill?.warnings ?? []).map(({ message }) => say(message)),
			...limitLines(card, units),
			...(card.overrideWhy ? [`Goes on because: ${card.overrideWhy}`] : []),
		],
		usual: [
			...(card.nutrients ? [say(bringsWords(card.nutrients))] : []),
			...card.cautions.map(say),
			...(card.order.length > 1 && sources.length > 0 ? [`The order follows, for ${sources.join('; ')}.`] : []),
		],
	};
}

/** Whose order places each product, by its number: `1, 3: Utah State (Manitoba puts them last)`. */
function orderSources({ order }: LoadCard): string[] {
	const placed = order.filter(({ source }) => source !== '');
	return [...Map.groupBy(placed, ({ source }) => source)].map(([source, products]) => {
		const [whose, ...apart] = source.split('; ');
		const exceptions = apart.length > 0 ? ` (${apart.join('; ')})` : '';
		return `${products.map(({ step }) => step).join(', ')}: ${whose}${exceptions}`;
	});
}

/** `13.33 ha, finishes it`; of the field it ends in, `13.33 ha, load ends 18.34 ha into it`. */
export function groundWord(
	{ field, areaHa, finishesField }: { field: string; areaHa: number; finishesField: boolean },
	{ ends, kind }: Pick<LoadCard, 'ends' | 'kind'>,
	{ area }: Units = unitsIn.metric,
): string {
	if (finishesField) return `${area(areaHa)}, finishes it`;
	if (ends === null || ends.field !== field) return `${area(areaHa)}, part of it`;
	return `${area(areaHa)}, ${portionWord(kind)} ends ${area(ends.intoHa)} into it`;
}

/** `empty grain store, Mill Lane 4; done with 4 L of fill 3 left`: what a closed space of the card holds, and where it stands. */
export function spaceLine(
	{ indoors, plan }: Pick<LoadCard, 'indoors' | 'plan'>,
	index: number,
	{ say }: Units = unitsIn.metric,
): string {
	const space = indoors?.spaces[index];
	if (!indoors || !space) return '';
	const held = [space.crop ?? `empty ${space.kind}`, space.place].filter(Boolean).join(', ');
	const told = plan.spaces?.[index];
	const fills = told && indoors.spaces.length > 1 ? say(fillsInSpace(told, indoors.unit)) : '';
	return [held, fills].filter(Boolean).join('; ');
}

/** Which figures the fill is worked out with. */
export function paceWords(
	{ inflowLPerMin, inflowFills, secondsPerContainer, paceFills }: LoadCard['pace'],
	{ say }: Units = unitsIn.metric,
): string {
	const from = (fills: number) => (fills === 0 ? 'sprayer’s settings' : `learned from ${count(fills, 'fill')}`);
	const water = `${say(`${figure(inflowLPerMin)} L/min`)} (${from(inflowFills)})`;
	return `Worked out with ${water} and ${figure(secondsPerContainer)} s a container (${from(paceFills)}).`;
}
