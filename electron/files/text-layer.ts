/** Boundary files that are text: GeoJSON, KML, ISO 11783-10 task data, told apart by their beginning. */
import { basename, dirname } from 'node:path';
import { type Result, refuse } from '../../shared/basics/result.ts';
import { kindOfFile } from './file-kind.ts';
import { openGeoJson } from './geojson.ts';
import { openKml } from './kml.ts';
import type { FoundLayer, RawLayer } from './layer.ts';
import { type Member, memberNamed, stemOf } from './members.ts';
import { openTaskData } from './task-data.ts';

/** `beside` are the files that stand beside it: task data may be spread over several. */
export function textLayer(member: Member, beside: readonly Member[]): FoundLayer {
	return { name: stemOf(member.name), open: () => openText(member, beside) };
}

function openText(member: Member, beside: readonly Member[]): Result<RawLayer> {
	const file = basename(member.name);
	const content = member.read();
	if (!content.ok) return content;
	const kind = kindOfFile(content.value.subarray(0, 4096));
	if (kind === 'empty') return refuse('file.notBoundaries', { file, why: 'it is empty (0 bytes)' });
	if (kind !== 'json' && kind !== 'xml') {
		return refuse('file.notBoundaries', {
			file,
			why: typeof kind === 'object' ? kind.other : 'it is neither GeoJSON nor KML',
		});
	}
	const { text, encoding } = decodeText(content.value);
	if (kind === 'json') return openGeoJson(file, stemOf(file), text, encoding);
	if (!/<(\w+:)?ISO11783_TaskData\b/.test(text.slice(0, 4096))) return openKml(file, stemOf(file), text, encoding);
	return openTaskData(file, text, encoding, (name) => {
		const folder = dirname(member.name);
		const list = memberNamed(beside, `${folder === '.' ? '' : `${folder}/`}${name}.xml`)?.read();
		return list?.ok ? decodeText(list.value).text : null;
	});
}

/** Text by its byte order mark, an XML declaration, or UTF-8; what is none of these is taken as Windows-1252. */
function decodeText(bytes: Buffer): { text: string; encoding: string } {
	const declared = /^<\?xml[^>]*encoding=["']([A-Za-z0-9._-]+)["']/.exec(
		bytes.subarray(0, 200).toString('latin1'),
	)?.[1];
	const mark =
		bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : null;
	for (const encoding of [mark ?? declared ?? 'utf-8', 'utf-8']) {
		try {
			return { text: new TextDecoder(encoding, { fatal: true }).decode(bytes), encoding: encoding.toLowerCase() };
		} catch {}
	}
	return { text: new TextDecoder('windows-1252').decode(bytes), encoding: 'windows-1252' };
}
