import type { LoadCard } from '../../shared/contract/jobs.ts';
import { amount, litres } from '../format.ts';
import { textWidth } from '../pictures/lettering.ts';
import { type Mark, marksOf } from './card-marks.ts';
import { type Caution, FIRST_CHECKS, groundWord, labelTexts, limitLines, poursOf } from './card-words.ts';

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

const scales = [1.35, 1.25, 1.15, 1.08, 1, 0.94, 0.88, 0.82, 0.76, 0.7, 0.65, 0.6, 0.55, 0.5, 0.45];
/** Below this the type is hard to read from a step away, so the tank column gives way first, then the label texts. */
const EASY = { picture: 0.88, whole: 0.76 } as const;

/**
 * The largest type with which the card stays on its page. Small type is the last resort: before it, the tank column goes
 * (its figures stand in the card already), then the label texts move overleaf.
 */
export function layoutOf(card: LoadCard, paper: Paper): CardLayout {
	const fitting = (picture: boolean, overleaf: boolean, least: number) => {
		const scale = scales.find((each) => each >= least && height(card, paper, each, { picture, overleaf }).fits);
		return scale === undefined ? null : { scale, picture, overleaf };
	};
	const smallest = scales.at(-1) ?? 1;
	const chosen = fitting(true, false, EASY.picture) ??
		fitting(false, false, EASY.whole) ??
		fitting(true, true, EASY.picture) ??
		fitting(false, true, smallest) ?? { scale: smallest, picture: false, overleaf: true };
	const { besideMm } = height(card, paper, chosen.scale, chosen);
	const unitsPerMm = PICTURE_UNITS / PICTURE_MM[paper];
	return { ...chosen, pictureHeight: Math.round(Math.max(300, Math.min(560, besideMm * unitsPerMm - 60))) };
}

/** Estimated height of the whole card against its page, and of what stands beside the tank column. */
function height(
	card: LoadCard,
	paper: Paper,
	scale: number,
	{ picture, overleaf }: { picture: boolean; overleaf: boolean },
): { fits: boolean; besideMm: number } {
	const sheet = sheets[paper];
	const em = sheet.em * scale;
	const width = sheet.width / em;
	const beside = picture ? (PICTURE_MM[paper] + PICTURE_GAP_MM) / em : 0;
	const textMm = pouringHeight(card, width - beside, overleaf) * em;
	const pouringMm = picture ? Math.max(textMm, pictureMm(card, paper)) : textMm;
	const rest =
		headHeight(card, width) +
		LABEL_FIRST_HEIGHT +
		groundHeight(card, width) +
		checksHeight(width) +
		notesHeight(card, width) +
		BY_HAND_HEIGHT +
		7 * GAP;
	const marksMm = marksHeight(marksOf(card), width, READING_MM / em) * em;
	return { fits: rest * em + marksMm + pouringMm <= sheet.height * (1 - SPARE), besideMm: pouringMm };
}

/** Heights of the parts in em, from the sizes in load-card.css. */
const GAP = 0.7;
const LABEL_FIRST_HEIGHT = 1.55;
const BY_HAND_HEIGHT = 6.6;

function headHeight(card: LoadCard, width: number): number {
	const codeWidth = Math.max(textWidth(card.code, 2, true) * 1.08, textWidth('type this code to log the load', 0.8)) + 3;
	const room = width - codeWidth;
	const which =
		2.63 +
		linesOf(card.job, 1.3, room, true) * 1.63 +
		linesOf([card.sprayer, card.farm].join(' · '), 1, room - 8) * 1.25;
	const nozzleRoom = Math.max(3, width - 42);
	const nozzle = linesOf(card.nozzle ?? '', 1.15, nozzleRoom, true) * 1.33;
	return Math.max(which, 4) + 0.3 + 0.85 * 1.25 + Math.max(1.84, nozzle) + 0.75;
}

function groundHeight({ plan: { ground } }: LoadCard, width: number): number {
	if (ground.length <= 4) {
		return sum(ground, (part) => {
			const room = width - textWidth(groundWord(part), 1) - 12;
			return linesOf(part.field, 1.25, room, true) * 1.44 + 0.4;
		});
	}
	const heights = ground.map(({ field }) => linesOf(field, 1.25, width / 2 - 3.2, true) * 1.44 + 1.25 + 0.4);
	let total = 0;
	for (let index = 0; index < heights.length; index += 2) {
		total += Math.max(heights[index] ?? 0, heights[index + 1] ?? 0);
	}
	return total;
}

function checksHeight(width: number): number {
	const needed = sum(FIRST_CHECKS, (check) => textWidth(check, 1) + 2.4);
	return Math.ceil(needed / (width * 0.92)) * 1.35;
}

function marksHeight(marks: readonly Mark[], width: number, readingEm: number): number {
	const room = (width - 1.5) / marks.length - 2.4;
	const tallest = Math.max(
		...marks.map(
			({ act, then }) => linesOf(act, 1, room - 1.3, true) * 1.15 + (then ? linesOf(then, 0.9, room) * 1.08 : 0),
		),
	);
	return 0.92 + 1.25 + Math.max(readingEm, 4.2) + tallest;
}

function pouringHeight(card: LoadCard, width: number, overleaf: boolean): number {
	const products = sum(card.order, (line) => {
		const room = width - 2.7 - textWidth(amount(line.amount, line.unit), 1.45, true);
		const words = textWidth(line.formulation, 1) + (line.why === '' ? 0 : textWidth(line.why, 0.85)) + 1;
		const named = linesOf(line.name, 1.4, room, true, words) * 1.61;
		const pours = sum(
			poursOf(line),
			({ text, boxes, tally }) => textWidth(text, 1.45) + boxes * 1.75 + (tally ? 8 : 0) + 1.5,
		);
		return named + Math.ceil(pours / (room * 0.94)) * 1.84 + 0.7;
	});
	const problem = card.orderProblem === null ? 0 : linesOf(card.orderProblem, 1, width - 14, true) * 1.25;
	const rinse = linesOf(`Rinse. ${card.rinseRule}`, 1, width) * 1.25 + 0.6;
	return products + problem + rinse + (overleaf ? 1.85 : labelTextsHeight(card, width) + 0.6);
}

function labelTextsHeight({ order }: LoadCard, width: number): number {
	const paragraph = (start: string, texts: readonly Caution[], none: string) => {
		const all = texts.length === 0 ? none : texts.map(({ names, text }) => `${names}: ${text}`).join(' ');
		return sum(`${start} ${all}`.split('\n'), (part) => linesOf(part, 1.03, width)) * 1.2;
	};
	const none = 'No protective equipment is on the books: wear what the labels ask for.';
	const cautions = labelTexts(order, 'cautions');
	const protect = paragraph('Protect yourself.', labelTexts(order, 'protection'), none);
	return protect + (cautions.length === 0 ? 0 : paragraph('Cautions.', cautions, '') + 0.35);
}

function notesHeight(card: LoadCard, width: number): number {
	const lines = [
		...(card.fillProblem ? [card.fillProblem] : []),
		...(card.fill?.warnings ?? []).map(({ message }) => message),
		...limitLines(card),
		...card.cautions,
	];
	const rows = lines.map((line) => linesOf(line, 0.8, width / 2 - 1.8, true));
	const tallest = Math.max(0, ...rows);
	return (sum(rows, (each) => each) / 2 + tallest / 2 + 0.5) * 0.96;
}

/** The tank column grows with its letters; this follows how it sets them. */
function pictureMm(card: LoadCard, paper: Paper): number {
	const products = sum(card.order, (line) => {
		const named = Math.min(3, linesOf(`${line.step} ${line.name} · ${litres(line.amount)}`, 14, 160));
		return named * 18 + 21;
	});
	const marks = card.fill && card.fill.meterStops.length > 1 ? 3 : 2;
	const carried = card.plan.carriedInL > 0 ? 60 : 0;
	const units = Math.max(300, products + marks * 72 + 40 + carried) + 60;
	return (units * PICTURE_MM[paper]) / PICTURE_UNITS;
}

/** Lines a text takes, broken between words, inside words that are too long; `after` is what still stands behind it. */
function linesOf(text: string, size: number, room: number, bold = false, after = 0): number {
	const space = textWidth(' ', size);
	let lines = 1;
	let used = 0;
	for (const wide of [...text.split(/\s+/).map((word) => textWidth(word, size, bold)), after]) {
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
