import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { signsOf } from '../../shared/core/products/hazard-signs.ts';
import { isNothingToFill } from '../held-words.ts';
import { stopsToMake } from '../pictures/fill.ts';
import { textWidth } from '../pictures/lettering.ts';
import type { Units } from '../units.ts';
import { type Mark, marksOf } from './card-marks.ts';
import {
	type Caution,
	firstChecks,
	groundWord,
	hazardTexts,
	isMixed,
	labelTexts,
	noteLines,
	poursOf,
	pourWords,
	spaceLine,
	underName,
} from './card-words.ts';
import { usSettings } from './us-words.ts';

export type Paper = 'A4' | 'A5';

/** How a card is laid out so that it stays on one page. */
export type CardLayout = {
	/** Type size against the sheet's base size. */
	readonly scale: number;
	/** The tank column stands beside the products. */
	readonly picture: boolean;
	/** Height of the tank column, in units of its picture. */
	readonly pictureHeight: number;
	/** The label texts go overleaf. */
	readonly overleaf: boolean;
};

/** Printed area and type of a sheet: millimetres, and millimetres to one em at scale 1. As in load-card.css. */
const MM_PER_POINT = 25.4 / 72;
const sheets = {
	A4: { width: 190, height: 276, em: 11 * MM_PER_POINT },
	A5: { width: 134, height: 194, em: 8 * MM_PER_POINT },
} as const;

/** Width of the tank column on paper, mm; its picture is 280 units wide. */
export const PICTURE_MM = { A4: 62, A5: 46 } as const;
const PICTURE_UNITS = 280;
const PICTURE_GAP_MM = 4;
/** The least reading of the meter: 42 pt, to be read from the cab. */
const READING_MM = 42 * MM_PER_POINT;
/** Heights are estimated from letter widths; this much of the page is kept free for what the estimate misses. */
const SPARE = 0.02;

const LARGEST = 1.4;
const SMALLEST = 0.45;
const scales = Array.from({ length: 49 }, (_, index) => Math.round((LARGEST - index * 0.02) * 100) / 100).filter(
	(scale) => scale >= SMALLEST,
);
/** Type sizes below which something gives way: first the tank column, then the label texts go overleaf. */
const EASY = { A4: { picture: 0.86, whole: 0.62 }, A5: { picture: 0.95, whole: 0.66 } } as const;

/** Label texts go overleaf where that makes everything else at least so much larger. */
const WORTH_TURNING = 1.25;

/**
 * The largest type with which the card stays on its page. Small type is the last resort: before it, the tank column goes
 * (its figures stand in the card already), then label texts that take much of the page move overleaf.
 */
export function layoutOf(card: LoadCard, paper: Paper, units: Units): CardLayout {
	const fitting = (picture: boolean, overleaf: boolean, least: number) => {
		const scale = scales.find(
			(each) => each >= least && height({ card, paper, units }, each, { picture, overleaf }).fits,
		);
		return scale === undefined ? null : { scale, picture, overleaf };
	};
	const easy = EASY[paper];
	const drawn = isMixed(card);
	const chosen = (drawn ? fitting(true, false, easy.picture) : null) ??
		fitting(false, false, easy.whole) ??
		smallPrint(
			fitting(false, false, SMALLEST),
			(drawn ? fitting(true, true, easy.picture) : null) ?? fitting(false, true, SMALLEST),
		) ?? {
			scale: SMALLEST,
			picture: false,
			overleaf: true,
		};
	const { besideMm } = height({ card, paper, units }, chosen.scale, chosen);
	const unitsPerMm = PICTURE_UNITS / PICTURE_MM[paper];
	return { ...chosen, pictureHeight: Math.round(Math.max(300, Math.min(560, besideMm * unitsPerMm - 60))) };
}

type Fitting = Omit<CardLayout, 'pictureHeight'>;

function smallPrint(onPage: Fitting | null, turned: Fitting | null): Fitting | null {
	return onPage && turned && turned.scale < onPage.scale * WORTH_TURNING ? onPage : (turned ?? onPage);
}

type Printed = { readonly card: LoadCard; readonly paper: Paper; readonly units: Units };

/** Estimated height of the whole card against its page, and of what stands beside the tank column. */
function height(
	{ card, paper, units }: Printed,
	scale: number,
	{ picture, overleaf }: Shape,
): { fits: boolean; besideMm: number } {
	const sheet = sheets[paper];
	const em = sheet.em * scale;
	const width = sheet.width / em;
	const beside = picture ? (PICTURE_MM[paper] + PICTURE_GAP_MM) / em : 0;
	const textMm = pouringHeight(card, width - beside, { picture, overleaf, units }) * em;
	const pouringMm = picture ? Math.max(textMm, pictureMm({ card, paper, units })) : textMm;
	const rest =
		headHeight(card, width, units) +
		LABEL_FIRST_HEIGHT +
		groundHeight(card, width, units) +
		checksHeight(card, width) +
		notesHeight(card, width, units) +
		BY_HAND_HEIGHT +
		7 * GAP;
	const marksMm = marksHeight(marksOf(card, units), unitWidth(paper, units), width, READING_MM / em) * em;
	return { fits: rest * em + marksMm + pouringMm <= sheet.height * (1 - SPARE), besideMm: pouringMm };
}

/** Heights of the parts in em, from the sizes in load-card.css. */
const GAP = 0.7;
const LABEL_FIRST_HEIGHT = 1.55;
const BY_HAND_HEIGHT = 6.2;
const FIGURES_WIDTH = 40;
const FLAT = 1.12;
/** Width of a bold figure of the readings, in em; measured. */
const DIGIT = 0.635;
/** The letter widths of the pictures are rounded up; running text takes this much of them. Measured. */
const RUNNING = 0.94;
const NOZZLE_WIDTH = 10;

function headHeight(card: LoadCard, width: number, units: Units): number {
	const codeWidth =
		Math.max(textWidth(card.code, 2, true) * 1.08, textWidth('type this code to log the load', 0.8)) + 3;
	const room = width - codeWidth;
	const settings = usSettings(card, units);
	const which =
		2.63 +
		linesOf(card.job, 1.3, room, true) * 1.63 +
		linesOf([card.sprayer, card.farm].join(' · '), 1, room - 8) * 1.25 +
		(settings === '' ? 0 : linesOf(settings, 1, room) * 1.25);
	const beside = width - FIGURES_WIDTH;
	const ownRow = beside < NOZZLE_WIDTH;
	const nozzle = linesOf(card.nozzle ?? '', 1.15, ownRow ? width : beside, true) * 1.33;
	return Math.max(which, 4) + 0.3 + 0.75 + 1.07 + (ownRow ? 1.84 + 1.07 + nozzle : Math.max(1.84, nozzle));
}

function groundHeight(card: LoadCard, width: number, units: Units): number {
	const { ground } = card.plan;
	if (card.indoors) return spacesHeight(card, card.indoors.spaces, width, units);
	if (ground.length <= 4) {
		return sum(ground, (part) => {
			const room = width - textWidth(groundWord(part, card, units), 1) - 12;
			return linesOf(part.field, 1.25, room, true) * 1.44 + 0.4;
		});
	}
	return inPairs(ground.map(({ field }) => linesOf(field, 1.25, width / 2 - 3.2, true) * 1.44 + 1.25 + 0.4));
}

/** Closed spaces: the name, and under it what it holds and where the fills end; more than four in two columns. */
function spacesHeight(
	card: LoadCard,
	spaces: readonly { readonly name: string }[],
	width: number,
	units: Units,
): number {
	const many = spaces.length > 4;
	const room = many ? width / 2 - 2.6 : width - 1.8;
	const heights = spaces.map(
		({ name }, index) =>
			linesOf(name, 1.25, room - 8, true) * 1.44 + linesOf(spaceLine(card, index, units), 1, room) * 1.25 + 0.4,
	);
	return many ? inPairs(heights) : sum(heights, (each) => each);
}

/** Height of lines that stand in two columns. */
function inPairs(heights: readonly number[]): number {
	return heights.reduce((total, height, at) => total + (at % 2 === 0 ? Math.max(height, heights[at + 1] ?? 0) : 0), 0);
}

function checksHeight(card: LoadCard, width: number): number {
	const needed = sum(firstChecks(card), (check) => textWidth(check, 1) + 2.4);
	return Math.ceil(needed / (width * 0.92)) * 1.35;
}

/** What the unit behind a reading takes, in its size; whole litres stand alone on A5. */
function unitWidth(paper: Paper, { units }: Units): number {
	if (units !== 'metric') return 0.7;
	return paper === 'A4' ? 0.4 : 0;
}

function marksHeight(marks: readonly Mark[], unit: number, width: number, leastReading: number): number {
	const readingSize = Math.max(leastReading, 4.2);
	const wide = Math.max(...marks.map(({ reading }) => reading.length * DIGIT + unit)) * readingSize + 2.2;
	const inRow = Math.max(1, Math.min(marks.length, Math.floor((width - 1.5) / wide)));
	const rows = Math.ceil(marks.length / inRow);
	const room = (width - 1.5) / inRow - 2.4;
	const tallest = Math.max(
		...marks.map(
			({ act, level }) => linesOf(act, 1, room - 1.3, true) * 1.15 + (level ? linesOf(level, 0.9, room) * 1.08 : 0),
		),
	);
	return 0.92 + 1.25 + rows * (readingSize + tallest) + (rows - 1) * 0.5;
}

type Shape = { readonly picture: boolean; readonly overleaf: boolean };

function pouringHeight(
	card: LoadCard,
	width: number,
	{ picture, overleaf, units }: Shape & { readonly units: Units },
): number {
	const amountWidth = Math.max(
		0,
		...card.order.map((line) => textWidth(units.amount(line.amount, line.unit), 1.45, true)),
	);
	const tall = picture || !isMixed(card);
	const size = tall ? 1 : FLAT;
	const room = width / size - 2.7 - amountWidth;
	const rows = sum(card.order, (line) => (tall ? tallRow(line, room, units) : flatRow(line, room, units)) + 0.7);
	const products = rows * size;
	const problem = card.orderProblem === null ? 0 : linesOf(card.orderProblem, 1, width - 14, true) * 1.25;
	const rinse = isNothingToFill(card.plan) ? 0 : linesOf(`Rinse. ${card.rinseRule}`, 1, width) * 1.25 + 0.6;
	return products + problem + rinse + (overleaf ? 1.85 : labelTextsHeight(card, width) + 0.6);
}

type Line = LoadCard['order'][number];

/** The hazard signs behind a name stand on its line. */
function signsWidth({ hazards }: Line): number {
	const many = signsOf(hazards).length;
	return many === 0 ? 0 : many * 1.55 + 0.6;
}

/** Beside the tank column: the name with the reason for its place, its containers below. */
function tallRow(line: Line, room: number, units: Units): number {
	const words =
		textWidth(underName(line, units), 1) + (line.why === '' ? 0 : textWidth(line.why, 0.85)) + 1 + signsWidth(line);
	return linesOf(line.name, 1.4, room, true, words) * 1.61 + poursHeight(line, room, units);
}

/** Over the whole width: the name at the left, its containers at the right. */
function flatRow(line: Line, room: number, units: Units): number {
	const named = linesOf(
		line.name,
		1.4,
		room * 0.45 - 0.5,
		true,
		textWidth(underName(line, units), 1) + signsWidth(line),
	);
	return Math.max(named * 1.61, poursHeight(line, room * 0.55 - 0.5, units));
}

function poursHeight(line: Line, room: number, units: Units): number {
	const lines = linesOfBlocks(
		poursOf(line, units).map(
			(pour) => textWidth(pourWords(pour), 1.45) * RUNNING + pour.boxes * 1.7 + (pour.tally ? 7 : 0),
		),
		1.45,
		room,
	);
	return lines * 1.74 + (lines - 1) * 0.15;
}

function labelTextsHeight({ order }: LoadCard, width: number): number {
	const paragraph = (start: string, texts: readonly Caution[], none: string) => {
		const all = texts.length === 0 ? none : texts.map(({ steps, text }) => `${steps}: ${text}`).join(' ');
		return sum(`${start} ${all}`.split('\n'), (part) => linesOf(part, 1.03, width)) * 1.2;
	};
	const none = 'No protective equipment is on the books: wear what the labels ask for.';
	const cautions = labelTexts(order, 'cautions');
	const protect = paragraph('Protect yourself.', labelTexts(order, 'protection'), none);
	const hazards = hazardTexts(order);
	const warned = hazards.length === 0 ? 0 : paragraph('Hazards.', hazards, '') + 0.35;
	return protect + warned + (cautions.length === 0 ? 0 : paragraph('Cautions.', cautions, '') + 0.35);
}

function notesHeight(card: LoadCard, width: number, units: Units): number {
	const { look, usual } = noteLines(card, units);
	const lines = [...look, ...usual];
	const rows = lines.map((line) => linesOf(line, 0.8, width / 2 - 1.5));
	const tallest = Math.max(0, ...rows);
	return (sum(rows, (each) => each) + tallest) * 0.5 * 0.96;
}

/** The tank column grows with its letters; this follows how it sets them. */
function pictureMm({ card, paper, units }: Printed): number {
	const products = sum(card.order, (line) => {
		const named = Math.min(3, linesOf(`${line.step} ${line.name} · ${units.litres(line.amount)}`, 14, 160));
		return named * 18 + 21;
	});
	const marks = card.fill && stopsToMake(card.fill).length > 1 ? 3 : 2;
	const carried = card.plan.carriedInL > 0 ? 60 : 0;
	const high = Math.max(300, products + marks * 72 + 40 + carried) + 60;
	return (high * PICTURE_MM[paper]) / PICTURE_UNITS;
}

/** Lines a text takes, broken between words, inside words that are too long; `after` is what still stands behind it. */
function linesOf(text: string, size: number, room: number, bold = false, after = 0): number {
	const words = text.split(/\s+/).map((word) => textWidth(word, size, bold) * RUNNING);
	return linesOfBlocks([...words, after], textWidth(' ', size), room);
}

function linesOfBlocks(blocks: readonly number[], space: number, room: number): number {
	let lines = 1;
	let used = 0;
	for (const wide of blocks) {
		if (wide === 0) continue;
		if (used > 0 && used + space + wide <= room) {
			used += space + wide;
			continue;
		}
		if (used > 0) lines += 1;
		lines += Math.ceil(wide / room) - 1;
		used = wide % room || room;
	}
	return lines;
}

function sum<Item>(items: readonly Item[], of: (item: Item) => number): number {
	return items.reduce((total, item) => total + of(item), 0);
}
