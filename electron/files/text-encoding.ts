/** Text in the code pages that attribute tables are written in, and which one a table is in. */
import { isAscii } from 'node:buffer';

export type Encoding = { readonly name: string; readonly decode: (bytes: Uint8Array) => string };

/** What is known about a table's encoding. `language driver`: byte 29 of a .dbf header. */
export type EncodingClues = {
	readonly asked: string | undefined;
	readonly codePageFile: string | null;
	readonly languageDriver: number;
	/** Every text value of the table that is not all ASCII, as bytes; others may stand among them. */
	readonly texts: readonly Uint8Array[];
};

/** How letters beyond ASCII read in an encoding. */
export type LettersRead = { readonly encoding: string; readonly samples: readonly string[] };

export type EncodingChoice = {
	readonly encoding: Encoding;
	readonly warning: { readonly code: string; readonly message: string } | null;
	/** Where nothing but the bytes speaks for an encoding: how they read in each that is possible; else empty. */
	readonly readings: readonly LettersRead[];
};

/**
 * Upper halves (bytes 128 to 255) of the code pages of the first PCs, which the platform's decoder lacks.
 * Source: Unicode mapping tables CP437.TXT, CP850.TXT, CP852.TXT.
 */
const oemPages = {
	cp437:
		'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐' +
		'└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0',
	cp850:
		'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒáíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐' +
		'└┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u00ad±‗¾¶§÷¸°¨·¹³²■\u00a0',
	cp852:
		'ÇüéâäůćçłëŐőîŹÄĆÉĹĺôöĽľŚśÖÜŤťŁ×čáíóúĄąŽžĘę¬źČş«»░▒▓│┤ÁÂĚŞ╣║╗╝Żż┐' +
		'└┴┬├─┼Ăă╚╔╩╦╠═╬¤đĐĎËďŇÍÎě┘┌█▄ŢŮ▀ÓßÔŃńňŠšŔÚŕŰýÝţ´\u00ad˝˛ˇ˘§÷¸°¨˙űŘř■\u00a0',
} as const;

/** Language driver byte → code page. Source: dBASE level 5 table of language drivers, as in the shapefile literature; from memory. */
const languageDrivers: Readonly<Record<number, string>> = {
	1: 'cp437',
	2: 'cp850',
	3: 'windows-1252',
	4: 'macintosh',
	8: 'cp850',
	31: 'cp852',
	35: 'cp852',
	38: 'ibm866',
	87: 'windows-1252',
	88: 'windows-1252',
	89: 'windows-1252',
	100: 'cp852',
	101: 'ibm866',
	135: 'cp852',
	200: 'windows-1250',
	201: 'windows-1251',
	202: 'windows-1254',
	203: 'windows-1253',
	204: 'windows-1257',
};

/** The encoding with this name (`UTF-8`, `1252`, `CP1252`, `ISO 8859-1`, `65001`, `LDID/87` …), or null. */
export function encodingNamed(label: string): Encoding | null {
	const text = label.trim().toLowerCase();
	const driver = /^ldid[/ ]?(\d+)$/.exec(text)?.[1];
	if (driver !== undefined) return fromPage(languageDrivers[Number(driver)]);
	const plain = text.replace(/^(ansi|oem|ms|ibm|windows|win|cp|code ?page)[ _-]*/, '').replace(/[ _]/g, '-');
	if (/^utf-?8$/.test(plain) || plain === '65001') return fromPage('utf-8');
	const latin = /^(?:iso-?)?8859-?(\d{1,2})$/.exec(plain)?.[1];
	if (latin) return fromPage(`iso-8859-${latin}`);
	if (/^latin-?1$/.test(plain)) return fromPage('windows-1252');
	if (/^125\d$/.test(plain)) return fromPage(`windows-${plain}`);
	if (/^(437|850|852)$/.test(plain)) return fromPage(`cp${plain}`);
	if (plain === '866') return fromPage('ibm866');
	return fromPage(text);
}

/**
 * The encoding of a table: what the user asked for, else the .cpg, else the language driver, else a guess.
 * Bytes that cannot be UTF-8 overrule a .cpg that says so; bytes that can only be UTF-8 overrule a language driver.
 */
export function chooseEncoding({ asked, codePageFile, languageDriver, texts }: EncodingClues): EncodingChoice {
	const utf8 = utf8Evidence(texts);
	const byDriver = fromPage(languageDrivers[languageDriver]);
	const byFile = codePageFile === null ? null : encodingNamed(codePageFile);
	const isWrong = byFile?.name === 'utf-8' && utf8 === 'impossible';
	const known = (byFile && !isWrong) || utf8 !== 'impossible' || (byDriver && !byFile);
	const windows = byDriver ?? (known ? latinWindows : likeliestLatin(texts));
	const readings = known ? [] : readingsOf(texts, windows);
	const wanted = asked === undefined ? null : encodingNamed(asked);
	const accented = texts.find((text) => !isAscii(text));
	const check = `check ${accented ? `“${windows.decode(accented).trim()}”` : 'accented letters'}`;
	if (wanted) return { encoding: wanted, warning: null, readings };
	if (isWrong) {
		const message = `The .cpg says UTF-8, but the names are not UTF-8. They were read as ${windows.name}: ${check}.`;
		return { encoding: windows, warning: { code: 'encoding.wrong', message }, readings };
	}
	if (byFile) return { encoding: byFile, warning: null, readings };
	if (utf8 === 'sure') {
		const message = 'The file does not name its encoding. The names can only be UTF-8 and were read so.';
		return { encoding: unicode, warning: { code: 'encoding.guessed', message }, readings };
	}
	if (byDriver || utf8 === 'plain') return { encoding: byDriver ?? unicode, warning: null, readings };
	const message = `The file does not name its encoding. The names were read as ${windows.name}: ${check}.`;
	return { encoding: windows, warning: { code: 'encoding.guessed', message }, readings };
}

/** Western and central European, Baltic, Turkish, Cyrillic and Greek, then the pages of the first PCs. */
const PAGES = [
	'windows-1252',
	'windows-1250',
	'windows-1257',
	'windows-1254',
	'windows-1251',
	'windows-1253',
	'cp850',
	'cp852',
];
const MOST_SAMPLES = 3;

/** The Latin page in which the fewest signs that are no letters stand at letters: `Rzek¹` is no word, `Rzeką` is. */
function likeliestLatin(texts: readonly Uint8Array[]): Encoding {
	const pages = LATIN.flatMap((page) => fromPage(page) ?? []);
	const marks = pages.map(({ decode }) =>
		texts.reduce((count, text) => count + (decode(text).match(SIGN_IN_WORD)?.length ?? 0), 0),
	);
	return pages[marks.indexOf(Math.min(...marks))] ?? latinWindows;
}

const LATIN = ['windows-1252', 'windows-1250', 'windows-1257', 'windows-1254'];
const SIGN_IN_WORD = /(?<=\p{L})[^\p{L}\p{M}\p{ASCII}]|[^\p{L}\p{M}\p{ASCII}](?=\p{L})/gu;

/** No other signs than names have, and no word of two scripts. */
const NAMELIKE = /^[\p{L}\p{M}\p{N}\p{P}\p{Zs}]*$/u;
const TWO_SCRIPTS =
	/\p{Script=Latin}[\p{Script=Cyrillic}\p{Script=Greek}]|[\p{Script=Cyrillic}\p{Script=Greek}]\p{Script=Latin}/u;

/** The best first; pages that read the same letters are told once, those in which the names are no names are left out. */
function readingsOf(texts: readonly Uint8Array[], best: Encoding): LettersRead[] {
	const accents = (text: Uint8Array) => text.filter((byte) => byte > 127).join(' ');
	const accented = texts.filter((text) => accents(text) !== '').toSorted((one, other) => one.length - other.length);
	const different = new Map(accented.map((text) => [accents(text), text]));
	const samples = [...different.values()].slice(0, MOST_SAMPLES);
	const readings = new Map<string, LettersRead>();
	for (const encoding of [best, ...PAGES.flatMap((page) => fromPage(page) ?? [])]) {
		const all = [...different.values()].map((text) => encoding.decode(text));
		if (encoding !== best && !all.every((text) => NAMELIKE.test(text) && !TWO_SCRIPTS.test(text))) continue;
		const read = samples.map((text) => encoding.decode(text).trim());
		const key = read.join('\n');
		if (!readings.has(key)) readings.set(key, { encoding: encoding.name, samples: read });
	}
	return readings.size > 1 ? [...readings.values()] : [];
}

/** Bytes in a code page of the first PCs as text. */
export function decodeOem(page: keyof typeof oemPages, bytes: Uint8Array): string {
	let text = '';
	for (const byte of bytes) text += byte < 128 ? String.fromCharCode(byte) : (oemPages[page][byte - 128] ?? '\ufffd');
	return text;
}

const utf8Decoder = new TextDecoder('utf-8');
const unicode: Encoding = { name: 'utf-8', decode: decodeUtf8 };
const latinWindows: Encoding = {
	name: 'windows-1252',
	decode: (bytes) => new TextDecoder('windows-1252').decode(bytes),
};

function fromPage(page: string | undefined): Encoding | null {
	if (page === undefined) return null;
	if (page === 'utf-8') return unicode;
	if (page === 'cp437' || page === 'cp850' || page === 'cp852')
		return { name: page, decode: (bytes) => decodeOem(page, bytes) };
	try {
		const decoder = new TextDecoder(page);
		return { name: decoder.encoding, decode: (bytes) => decoder.decode(bytes) };
	} catch {
		return null;
	}
}

/** A value that fills its column may be cut in the middle of a letter: the torn letter is left off. */
function decodeUtf8(bytes: Uint8Array): string {
	return utf8Decoder.decode(wholeLetters(bytes));
}

function utf8Evidence(texts: readonly Uint8Array[]): 'sure' | 'plain' | 'impossible' {
	const strict = new TextDecoder('utf-8', { fatal: true });
	let beyondAscii = false;
	for (const text of texts) {
		if (isAscii(text)) continue;
		beyondAscii = true;
		try {
			strict.decode(wholeLetters(text));
		} catch {
			return 'impossible';
		}
	}
	return beyondAscii ? 'sure' : 'plain';
}

function wholeLetters(bytes: Uint8Array): Uint8Array {
	for (let back = 1; back <= Math.min(3, bytes.length); back++) {
		const byte = bytes[bytes.length - back] ?? 0;
		if (byte < 0x80) return bytes;
		if (byte >= 0xc0) {
			const length = byte >= 0xf0 ? 4 : byte >= 0xe0 ? 3 : 2;
			return length > back ? bytes.subarray(0, bytes.length - back) : bytes;
		}
	}
	return bytes;
}
