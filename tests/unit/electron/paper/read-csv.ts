/** RFC 4180 to the letter: CRLF between records, quotes only around a whole field, as many fields in each record. */
export function readCsv(text: string): string[][] {
	if (!text.startsWith('\uFEFF')) throw new Error('no byte order mark');
	const records: string[][] = [[]];
	let at = 1;
	while (at < text.length) {
		const field = text[at] === '"' ? quoted(text, at) : bare(text, at);
		records.at(-1)?.push(field.value);
		at = field.end;
		if (text[at] === ',') at += 1;
		else if (text.startsWith('\r\n', at)) {
			at += 2;
			if (at < text.length) records.push([]);
		} else throw new Error(`neither delimiter nor line end at ${at}`);
	}
	const wide = records[0]?.length;
	if (records.some((record) => record.length !== wide)) throw new Error('records differ in length');
	return records;
}

function quoted(text: string, from: number): { value: string; end: number } {
	let value = '';
	for (let at = from + 1; at < text.length; at++) {
		if (text[at] !== '"') value += text[at];
		else if (text[at + 1] === '"') {
			value += '"';
			at += 1;
		} else return { value, end: at + 1 };
	}
	throw new Error('a quoted field does not end');
}

function bare(text: string, from: number): { value: string; end: number } {
	let end = from;
	while (end < text.length && text[end] !== ',' && text[end] !== '\r') {
		if (text[end] === '"' || text[end] === '\n') throw new Error(`a quote or line feed in a bare field at ${end}`);
		end += 1;
	}
	return { value: text.slice(from, end), end };
}
