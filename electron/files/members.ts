/** Files beside each other, in a folder or in an archive, each read when it is asked for. */
import { closeSync, openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs';
import { basename, extname, join } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { importLimits, inMegabytes } from './limits.ts';
import { readEntry, type ZipArchive } from './zip-archive.ts';

export type Member = { readonly name: string; readonly read: () => Result<Buffer> };

/** The ordinary files of a folder, hidden ones left out. */
export function filesIn(folder: string): Member[] {
	return readdirSync(folder, { withFileTypes: true })
		.filter((entry) => entry.isFile() && !entry.name.startsWith('.'))
		.map(({ name }) => fileAt(join(folder, name)))
		.toSorted((one, other) => (one.name < other.name ? -1 : 1));
}

export function fileAt(path: string): Member {
	return { name: basename(path), read: () => readLoose(path) };
}

/** The files of an archive. Folders of resource forks repeat every file under its own name and are left out. */
export function filesInArchive(archive: ZipArchive): Member[] {
	let taken = 0;
	const plain = archive.entries.filter(({ name }) => !/(^|\/)(__MACOSX\/|\.)/.test(name));
	return plain.map((entry) => ({
		name: entry.name,
		read: () => {
			const content = readEntry(archive, entry, taken);
			if (content.ok) taken += content.value.length;
			return content;
		},
	}));
}

/** A member by its path, in any case; the exact spelling first. */
export function memberNamed(members: readonly Member[], name: string): Member | null {
	const lower = name.toLowerCase();
	return (
		members.find((member) => member.name === name) ??
		members.find((member) => member.name.toLowerCase() === lower) ??
		null
	);
}

/** File name without folders and extension. */
export function stemOf(name: string): string {
	const file = basename(name);
	return file.slice(0, file.length - extname(file).length) || file;
}

/** The first 4 KB of a file, enough to tell what it is. */
export function firstBytes(path: string): Buffer {
	const head = Buffer.alloc(4096);
	const handle = openSync(path, 'r');
	try {
		return head.subarray(0, readSync(handle, head, 0, head.length, 0));
	} finally {
		closeSync(handle);
	}
}

function readLoose(path: string): Result<Buffer> {
	const file = basename(path);
	try {
		const { size } = statSync(path);
		if (size <= importLimits.entryBytes) return ok(readFileSync(path));
		return refuse('file.tooBig', {
			file,
			why: `it has ${inMegabytes(size)}, at most ${inMegabytes(importLimits.entryBytes)} are read`,
		});
	} catch {
		return refuse('file.missing', { file: path });
	}
}
