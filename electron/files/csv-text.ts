/**
 * What a spreadsheet takes for a formula: = + - @ (their full-width forms too), also after blanks, and cells that begin
 * with a tab or a line break. A text that already looks neutralised is neutralised again, so that taking one apostrophe
 * off always gives the original back. Source: OWASP ASVS 5.0, 1.2.10.
 */
const FORMULA = /^'*(?:\s*[=+\-@＝＋－＠]|[\t\r\n])/u;
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
const CONTROLS = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g;

/** A text no spreadsheet takes for a formula: an apostrophe before it where it needs one, U+FFFD for control characters. */
export function cellText(text: string): string {
	const plain = text.replace(CONTROLS, '\uFFFD');
	return FORMULA.test(plain) ? `'${plain}` : plain;
}
