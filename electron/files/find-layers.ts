/** Finds the layers of boundaries in a file, an archive or a folder, without reading more than their names. */
import { closeSync, openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { ReadingOptions } from './boundary-file.ts';
import { kindOfArchive, kindOfFile } from './file-kind.ts';
import { openGeoJson } from './geojson.ts';
import { openKml } from './kml.ts';
import type { FileWarning, RawLayer } from './layer.ts';
import { importLimits, inMegabytes } from './limits.ts';
import { openShapefile } from './shapefile.ts';
import { openArchive, readEntry, type ZipArchive, type ZipEntry } from './zip-archive.ts';

export type FoundLayer = { readonly name: string; readonly open: () => Result<RawLayer> };
export type FoundLayers = { readonly layers: readonly FoundLayer[]; readonly warnings: readonly FileWarning[] };

/** A file by its name within a folder or archive, its content read when it is asked for. */
type Member = { readonly name: string; readonly read: () => Result<Buffer> };

const SHAPEFILE_PART = /\.(shp|shx|dbf|prj|cpg)$/i;

/** The layers at a path. Refuses `file.missing`, `file.notBoundaries` (saying what it is instead), `file.damaged`, `file.tooBig`. */
export function findLayers(path: string, options: ReadingOptions): Result<FoundLayers> {
	const file = basename(path);
	const stats = statSync(path, { throwIfNoEntry: false });
	if (!stats) return refuse('file.missing', { file: path });
	if (stats.isDirectory()) {
		const members = filesIn(path);
		const layers = layersAmong(members, options);
		return layers.length > 0
			? ok({ layers, warnings: [] })
			: refuse('file.notBoundaries', { file, why: 'the folder holds no boundary file' });
	}
	if (!stats.isFile()) return refuse('file.notBoundaries', { file, why: 'it is not an ordinary file' });
	const kind = kindOfFile(firstBytes(path));
	if (kind === 'empty') return refuse('file.notBoundaries', { file, why: 'it is empty (0 bytes)' });
	if (kind === 'zip') return layersInArchive(file, path);
	if (SHAPEFILE_PART.test(file)) return looseShapefile(path, options);
	if (typeof kind === 'object') return refuse('file.notBoundaries', { file, why: kind.other });
	const layers = layersAmong([{ name: file, read: () => readLoose(path) }], options, true);
	return ok({ layers, warnings: [] });

	function layersInArchive(name: string, archivePath: string): Result<FoundLayers> {
		if (stats && stats.size > importLimits.archiveBytes) {
			return refuse('file.tooBig', {
				file,
				why: `the archive has ${inMegabytes(stats.size)}, at most ${inMegabytes(importLimits.archiveBytes)} are read`,
			});
		}
		const archive = openArchive(name, readFileSync(archivePath));
		if (!archive.ok) return archive;
		const found = layersAmong(archiveMembers(archive.value), options);
		if (found.length === 0)
			return refuse('file.notBoundaries', {
				file,
				why: kindOfArchive(archive.value.entries.map((entry) => entry.name)),
			});
		return ok({ layers: found, warnings: ignoredWarnings(archive.value) });
	}
}

/** Groups members into layers: the parts of a shapefile belong together, every other boundary file stands alone. */
function layersAmong(members: readonly Member[], options: ReadingOptions, byContent = false): FoundLayer[] {
	const layers: FoundLayer[] = [];
	for (const member of members) {
		const extension = extname(member.name).toLowerCase();
		if (extension === '.shp') layers.push(shapefileLayer(member, members, options));
		else if (/^\.(geojson|json|kml)$/.test(extension) || (byContent && !SHAPEFILE_PART.test(member.name)))
			layers.push(textLayer(member));
	}
	return layers;
}

function shapefileLayer(shp: Member, members: readonly Member[], options: ReadingOptions): FoundLayer {
	const stem = shp.name.slice(0, -4);
	const name = basename(stem);
	const part = (extension: string) => {
		const wanted = `${stem}.${extension}`;
		return (
			members.find((member) => member.name === wanted) ??
			members.find((member) => member.name.toLowerCase() === wanted.toLowerCase())
		);
	};
	return {
		name,
		open: () => {
			const contents = new Map<string, Buffer>();
			for (const extension of ['shp', 'shx', 'dbf', 'prj', 'cpg']) {
				const content = extension === 'shp' ? shp.read() : part(extension)?.read();
				if (content && !content.ok) return content;
				if (content) contents.set(extension, content.value);
			}
			const [bytes, shx, dbf, prj, cpg] = ['shp', 'shx', 'dbf', 'prj', 'cpg'].map(
				(extension) => contents.get(extension) ?? null,
			);
			return openShapefile(
				{ name, shp: bytes ?? Buffer.alloc(0), shx: shx ?? null, dbf: dbf ?? null, prj: prj ?? null, cpg: cpg ?? null },
				options.encoding,
			);
		},
	};
}

function textLayer(member: Member): FoundLayer {
	const file = basename(member.name);
	const name = file.slice(0, file.length - extname(file).length) || file;
	return {
		name,
		open: () => {
			const content = member.read();
			if (!content.ok) return content;
			const { text, encoding } = decodeText(content.value);
			const kind = kindOfFile(content.value.subarray(0, 4096));
			if (kind === 'json') return openGeoJson(file, name, text, encoding);
			if (kind === 'xml') return openKml(file, name, text, encoding);
			return refuse('file.notBoundaries', {
				file,
				why: typeof kind === 'object' ? kind.other : 'it is neither GeoJSON nor KML',
			});
		},
	};
}

function looseShapefile(path: string, options: ReadingOptions): Result<FoundLayers> {
	const file = basename(path);
	const stem = file.slice(0, file.length - extname(file).length).toLowerCase();
	const members = filesIn(dirname(path)).filter(({ name }) => SHAPEFILE_PART.test(name));
	const own = members.filter(({ name }) => name.slice(0, -4).toLowerCase() === stem);
	const shp =
		own.find(({ name }) => name === file && /\.shp$/i.test(name)) ?? own.find(({ name }) => /\.shp$/i.test(name));
	if (!shp) return refuse('file.missing', { file: join(dirname(path), `${file.slice(0, -4)}.shp`) });
	return ok({ layers: [shapefileLayer(shp, own, options)], warnings: [] });
}

function filesIn(folder: string): Member[] {
	return readdirSync(folder, { withFileTypes: true })
		.filter((entry) => entry.isFile() && !entry.name.startsWith('.'))
		.map(({ name }) => ({ name, read: () => readLoose(join(folder, name)) }));
}

function archiveMembers(archive: ZipArchive): Member[] {
	let taken = 0;
	const read = (entry: ZipEntry) => {
		const content = readEntry(archive, entry, taken);
		if (content.ok) taken += content.value.length;
		return content;
	};
	// Folders of resource forks repeat every file under its own name.
	const plain = archive.entries.filter(({ name }) => !/(^|\/)(__MACOSX\/|\.)/.test(name));
	return plain.map((entry) => ({ name: entry.name, read: () => read(entry) }));
}

function readLoose(path: string): Result<Buffer> {
	const file = basename(path);
	try {
		const { size } = statSync(path);
		if (size > importLimits.entryBytes) {
			return refuse('file.tooBig', {
				file,
				why: `it has ${inMegabytes(size)}, at most ${inMegabytes(importLimits.entryBytes)} are read`,
			});
		}
		return ok(readFileSync(path));
	} catch {
		return refuse('file.missing', { file: path });
	}
}

function firstBytes(path: string): Buffer {
	const head = Buffer.alloc(4096);
	const handle = openSync(path, 'r');
	try {
		return head.subarray(0, readSync(handle, head, 0, head.length, 0));
	} finally {
		closeSync(handle);
	}
}

/** Text by its byte order mark, an XML declaration, or UTF-8; what is not UTF-8 is taken as Windows-1252. */
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

function ignoredWarnings({ ignored }: ZipArchive): FileWarning[] {
	return ignored.map((name) => ({
		code: 'archive.entryIgnored',
		message: `${name} points outside the archive and was left alone.`,
	}));
}
