/**
 * What a spreadsheet takes for a formula: = + - @ (their full-width forms too), also after blanks, and cells that begin
 * with a control character. A text that already looks neutralised is neutralised again, so that taking one mark off
 * always gives the original back. Source: OWASP ASVS 5.0, 1.2.10.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const FORMULA = /^'*(?:\s*[=+\-@＝＋－＠]|[\t\r\n\u0000])/u;
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
const CONTROLS = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g;

/** A text no spreadsheet takes for a formula: with an apostrophe before it where it needs one, and no control characters. */
export function cellText(text: string): string {
	return `${FORMULA.test(text) ? "'" : ''}${text.replace(CONTROLS, '\uFFFD')}`;
}
