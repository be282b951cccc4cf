import faces from '@fontsource-variable/atkinson-hyperlegible-next/wght.css?inline';
import base from '../look/base.css?inline';
import tokens from '../look/tokens.css?inline';

/** A whole page for the printer: it loads nothing, so styles and faces stand in it. */
export function paperPage({ title, css, body }: { title: string; css: string; body: string }): string {
	const style = [faces, tokens, base, css].join('\n');
	return [
		'<!doctype html><html lang="en" data-mantine-color-scheme="light"><head><meta charset="utf-8">',
		`<meta http-equiv="content-security-policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:">`,
		`<title>${escaped(title)}</title><style>${style}</style></head><body>${body}</body></html>`,
	].join('\n');
}

function escaped(text: string): string {
	return text.replace(/[&<>]/g, (letter) => `&#${letter.codePointAt(0)};`);
}

/** Text as a CSS string that can end neither the string nor the style element, whatever is in it. */
export function cssString(text: string): string {
	const plain = text.replace(/[^A-Za-z0-9 .,:·–-]/gu, (letter) => `\\${letter.codePointAt(0)?.toString(16)} `);
	return `"${plain}"`;
}
