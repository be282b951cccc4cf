/** Room that letters take, estimated from the face's own widths, so that labels can be kept apart without measuring. */

/** Widths in hundredths of the type size: Atkinson Hyperlegible Next, regular. Measured once, rounded up. */
const NARROW = 32;
const WIDE = 88;
const PLAIN = 57;
const CAPITAL = 68;
const DIGIT = 64;
const SPACE = 26;

/** Width of a line of text in px at a type size. */
export function textWidth(text: string, size: number, bold = false): number {
	let hundredths = 0;
	for (const letter of text) hundredths += letterWidth(letter);
	return (hundredths / 100) * size * (bold ? 1.06 : 1);
}

/** The text, cut with an ellipsis where it would not fit. */
export function fitText(text: string, size: number, room: number, bold = false): string {
	if (textWidth(text, size, bold) <= room) return text;
	let cut = text;
	while (cut.length > 1 && textWidth(`${cut}…`, size, bold) > room) cut = cut.slice(0, -1).trimEnd();
	return `${cut}…`;
}

/** The text in lines that fit, broken between words; at most `most` lines. */
export function wrapText(text: string, size: number, room: number, most = 3): string[] {
	const lines: string[] = [];
	let line = '';
	for (const word of text.split(' ')) {
		const longer = line === '' ? word : `${line} ${word}`;
		if (line === '' || textWidth(longer, size) <= room) {
			line = longer;
			continue;
		}
		lines.push(line);
		line = word;
	}
	if (line !== '') lines.push(line);
	if (lines.length <= most) return lines.map((each) => fitText(each, size, room));
	const kept = lines.slice(0, most - 1);
	return [...kept, lines.slice(most - 1).join(' ')].map((each) => fitText(each, size, room));
}

export type Placed = { readonly wanted: number; readonly size: number };

/**
 * Moves blocks along a line so that none overlaps and all stay within it: each as near to where it belongs as the others
 * allow. `wanted` is where a block's start belongs; blocks come in order of `wanted`. Gives the starts.
 */
export function spread(blocks: readonly Placed[], from: number, to: number): number[] {
	const starts: number[] = [];
	let free = from;
	for (const block of blocks) {
		const start = Math.max(block.wanted, free);
		starts.push(start);
		free = start + block.size;
	}
	let limit = to;
	for (let index = blocks.length - 1; index >= 0; index--) {
		const size = blocks[index]?.size ?? 0;
		const start = Math.min(starts[index] ?? from, limit - size);
		starts[index] = start;
		limit = start;
	}
	return starts;
}

function letterWidth(letter: string): number {
	if (letter === ' ' || letter === ' ') return SPACE;
	if (/[0-9−+×]/.test(letter)) return DIGIT;
	if (/[ijlIft.,:;·'’|()[\]/!-]/.test(letter)) return NARROW;
	if (/[mwMW%…@]/.test(letter)) return WIDE;
	return letter === letter.toUpperCase() ? CAPITAL : PLAIN;
}
