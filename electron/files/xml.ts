/** XML as a stream of elements, for files from strangers: no document type, no entities of its own, no bottomless nesting. */
import { SaxesParser } from 'saxes';
import { importLimits } from './limits.ts';

type Attributes = Readonly<Record<string, string>>;

/** Each handler may answer with a fault, which ends the reading. `path` ends with the element itself. */
export type XmlHandlers = {
	readonly open: (tag: string, attributes: Attributes, path: readonly string[]) => string | null;
	readonly close: (tag: string, text: string, path: readonly string[]) => string | null;
};

const CHUNK = 65_536;

/** Reads the text; gives the first fault or null. Text is gathered only inside the elements named in `withText`. */
export function readXml(xml: string, withText: ReadonlySet<string>, handlers: XmlHandlers): string | null {
	const parser = new SaxesParser({ xmlns: false, position: false });
	const path: string[] = [];
	const texts: string[] = [];
	let fault: string | null = null;
	parser.on('error', (error) => {
		fault ??= `it is not sound XML (${error.message.replace(/^\d+:\d+:\s*/, '').slice(0, 120)})`;
	});
	parser.on('doctype', () => {
		fault ??= 'it brings its own document type, which is not read';
	});
	parser.on('opentag', ({ name, attributes }) => {
		if (fault) return;
		const tag = localName(name);
		path.push(tag);
		texts.push('');
		fault =
			path.length > importLimits.xmlDepth
				? `its elements are nested more than ${importLimits.xmlDepth} deep`
				: handlers.open(tag, localNames(attributes), path);
	});
	const gather = (text: string) => {
		const last = texts.length - 1;
		if (last >= 0 && withText.has(path[last] ?? '')) texts[last] += text;
	};
	parser.on('text', gather);
	parser.on('cdata', gather);
	parser.on('closetag', () => {
		if (fault) return;
		fault = handlers.close(path.at(-1) ?? '', texts.pop() ?? '', path);
		path.pop();
	});
	for (let at = 0; at < xml.length && !fault; at += CHUNK) parser.write(xml.slice(at, at + CHUNK));
	if (!fault) parser.close();
	return fault;
}

function localName(name: string): string {
	return name.slice(name.indexOf(':') + 1);
}

/** Without a prototype: an attribute may be called __proto__. */
function localNames(attributes: Attributes): Attributes {
	const plain: Record<string, string> = Object.create(null);
	for (const [name, value] of Object.entries(attributes)) plain[localName(name)] = value;
	return plain;
}
