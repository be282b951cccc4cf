/** Finds the layers of boundaries in a file, an archive or a folder; what is in them is read later. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { ReadingOptions } from './boundary-file.ts';
import { kindOfArchive, kindOfFile } from './file-kind.ts';
import { findGeoPackageLayers } from './geopackage.ts';
import type { FileWarning, FoundLayer } from './layer.ts';
import { layerChoices } from './layer-choices.ts';
import { importLimits, inMegabytes } from './limits.ts';
import { fileAt, filesIn, filesInArchive, firstBytes, type Member, memberNamed, stemOf } from './members.ts';
import { openShapefile } from './shapefile.ts';
import { textLayer } from './text-layer.ts';
import { openArchive, type ZipArchive } from './zip-archive.ts';

export type FoundLayers = { readonly layers: readonly FoundLayer[]; readonly warnings: readonly FileWarning[] };

const SHAPEFILE_PART = /\.(shp|shx|dbf|prj|cpg)$/i;
const TASK_DATA = /^taskdata\.xml$/i;

/** The layers of a file. Refuses `file.missing`, `file.notBoundaries` (saying what it is instead), `file.damaged`, `file.tooBig`. */
export function findLayers(path: string, options: ReadingOptions): Result<FoundLayers> {
	const file = basename(path);
	const stats = statSync(path, { throwIfNoEntry: false });
	if (!stats) return refuse('file.missing', { file: path });
	if (!stats.isFile()) return refuse('file.notBoundaries', { file, why: 'it is not an ordinary file' });
	const kind = kindOfFile(firstBytes(path));
	if (kind === 'zip') return layersInArchive(path, stats.size, options);
	if (SHAPEFILE_PART.test(file)) return looseShapefile(path, options);
	if (kind === 'empty') return refuse('file.notBoundaries', { file, why: 'it is empty (0 bytes)' });
	if (kind === 'geopackage') return looseGeoPackage(path);
	if (typeof kind === 'object') return refuse('file.notBoundaries', { file, why: kind.other });
	return ok({ layers: [textLayer(fileAt(path), filesIn(dirname(path)))], warnings: [] });
}

/**
 * The one boundary file of a folder, or the one the user named as layer. Refuses `file.layerUnclear` with what each holds where
 * there are several. Task data may stand in a folder of its own within.
 */
export function pickInFolder(folder: string, options: ReadingOptions): Result<{ path: string; named: boolean }> {
	const file = basename(folder);
	const inner = readdirSync(folder, { withFileTypes: true }).find(
		(entry) => entry.isDirectory() && /^taskdata$/i.test(entry.name),
	);
	const names = filesIn(folder)
		.map(({ name }) => name)
		.filter((name) => /\.(shp|geojson|json|kml|kmz|gpkg|zip)$/i.test(name) || TASK_DATA.test(name));
	const within = inner ? filesIn(join(folder, inner.name)).filter(({ name }) => TASK_DATA.test(name)) : [];
	names.push(...within.map(({ name }) => join(inner?.name ?? '', name)));
	const lower = options.layer?.toLowerCase();
	const asked =
		names.find((name) => name.toLowerCase() === lower) ?? names.find((name) => stemOf(name).toLowerCase() === lower);
	const [only] = names;
	const chosen = asked ?? (names.length === 1 ? only : undefined);
	if (chosen) return ok({ path: join(folder, chosen), named: asked !== undefined });
	if (names.length === 0) return refuse('file.notBoundaries', { file, why: 'the folder holds no boundary file' });
	return refuse('file.layerUnclear', {
		file,
		choices: layerChoices(names.map((name) => fileAsLayer(folder, name, options))),
	});
}

/** A file of a folder is chosen like a layer; one that holds several asks again. */
function fileAsLayer(folder: string, name: string, options: ReadingOptions): FoundLayer {
	return {
		name,
		open() {
			const found = findLayers(join(folder, name), options);
			if (!found.ok) return found;
			const [only, ...more] = found.value.layers;
			if (only && more.length === 0) return only.open();
			return refuse('file.layerUnclear', { file: name, why: `it holds ${more.length + 1} layers` });
		},
	};
}

function layersInArchive(path: string, bytes: number, options: ReadingOptions): Result<FoundLayers> {
	const file = basename(path);
	if (bytes > importLimits.archiveBytes) {
		return refuse('file.tooBig', {
			file,
			why: `the archive has ${inMegabytes(bytes)}, at most ${inMegabytes(importLimits.archiveBytes)} are read`,
		});
	}
	const archive = openArchive(file, readFileSync(path));
	if (!archive.ok) return archive;
	const members = filesInArchive(archive.value);
	const layers: FoundLayer[] = [];
	for (const member of members) {
		const extension = extname(member.name).toLowerCase();
		if (extension === '.shp') layers.push(shapefileLayer(member, members, options));
		else if (/^\.(geojson|json|kml)$/.test(extension) || TASK_DATA.test(basename(member.name)))
			layers.push(textLayer(member, members));
		else if (extension === '.gpkg') {
			const content = member.read();
			const found = content.ok ? findGeoPackageLayers(basename(member.name), content.value) : content;
			if (!found.ok) return found;
			layers.push(...found.value);
		}
	}
	if (layers.length > 0) return ok({ layers, warnings: ignoredWarnings(archive.value) });
	return refuse('file.notBoundaries', { file, why: kindOfArchive(archive.value.entries.map((entry) => entry.name)) });
}

function shapefileLayer(shp: Member, members: readonly Member[], { encoding }: ReadingOptions): FoundLayer {
	const stem = shp.name.slice(0, -4);
	const name = basename(stem);
	const part = (extension: string): Result<Buffer | null> =>
		memberNamed(members, `${stem}.${extension}`)?.read() ?? ok(null);
	return {
		name,
		open: () => {
			const main = shp.read();
			if (!main.ok) return main;
			const [shx, dbf, prj, cpg] = [part('shx'), part('dbf'), part('prj'), part('cpg')];
			for (const read of [shx, dbf, prj, cpg]) if (!read.ok) return read;
			const content = (read: Result<Buffer | null>) => (read.ok ? read.value : null);
			const parts = { shx: content(shx), dbf: content(dbf), prj: content(prj), cpg: content(cpg) };
			return openShapefile({ name, shp: main.value, ...parts }, encoding);
		},
	};
}

function looseShapefile(path: string, options: ReadingOptions): Result<FoundLayers> {
	const members = filesIn(dirname(path)).filter(({ name }) => SHAPEFILE_PART.test(name));
	const wanted = `${stemOf(path)}.shp`;
	const shp = memberNamed(members, /\.shp$/i.test(path) ? basename(path) : wanted);
	return shp
		? ok({ layers: [shapefileLayer(shp, members, options)], warnings: [] })
		: refuse('file.missing', { file: join(dirname(path), wanted) });
}

function looseGeoPackage(path: string): Result<FoundLayers> {
	const file = basename(path);
	const log = statSync(`${path}-wal`, { throwIfNoEntry: false });
	if (log && log.size > 0) return refuse('file.inUse', { file });
	const content = fileAt(path).read();
	const layers = content.ok ? findGeoPackageLayers(file, content.value) : content;
	return layers.ok ? ok({ layers: layers.value, warnings: [] }) : layers;
}

function ignoredWarnings({ ignored }: ZipArchive): FileWarning[] {
	const [first] = ignored;
	if (first === undefined) return [];
	const these =
		ignored.length === 1 ? `${first} points` : `${ignored.length} entries, ${first} the first of them, point`;
	const message = `${these} outside the archive and ${ignored.length === 1 ? 'was' : 'were'} left alone.`;
	return [{ code: 'archive.entryIgnored', message }];
}
