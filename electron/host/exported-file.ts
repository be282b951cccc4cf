import { constants, createReadStream, fstatSync, openSync } from 'node:fs';
import { extname, join } from 'node:path';
import type { Readable } from 'node:stream';
import { plainFileName } from './incoming-file.ts';

const types: Readonly<Record<string, string>> = {
	'.pdf': 'application/pdf',
	'.csv': 'text/csv; charset=utf-8',
	'.json': 'application/json',
	'.png': 'image/png',
	'.jpg': 'image/jpeg',
	'.xlsx': 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
};

/** A file the program wrote into the exports folder of a book, to be saved by the browser; null where there is none. */
export function exportedFile(
	bookFolder: string,
	name: string,
): { headers: Record<string, string | number>; stream: Readable } | null {
	if (name === '' || name !== plainFileName(name)) return null;
	const descriptor = openPlainFile(join(bookFolder, 'exports', name));
	if (descriptor === null) return null;
	const stream = createReadStream('', { fd: descriptor });
	const stat = fstatSync(descriptor);
	if (!stat.isFile()) {
		stream.destroy();
		return null;
	}
	const headers = {
		'content-type': types[extname(name).toLowerCase()] ?? 'application/octet-stream',
		'content-length': stat.size,
		'content-disposition': `attachment; filename*=UTF-8''${encodeURIComponent(name).replace(/['()*]/g, percent)}`,
	};
	return { headers, stream };
}

/** Never through a link: what lies elsewhere was not exported. */
function openPlainFile(file: string): number | null {
	try {
		return openSync(file, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0));
	} catch {
		return null;
	}
}

function percent(character: string): string {
	return `%${character.charCodeAt(0).toString(16).toUpperCase()}`;
}
