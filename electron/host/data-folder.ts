import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, realpathSync, statfsSync, statSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join, posix, resolve, win32 } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';

/** What a computer says about where its user keeps things. */
export type Surroundings = {
	readonly platform: NodeJS.Platform;
	readonly home: string;
	readonly env: Readonly<Record<string, string | undefined>>;
};

/** What is known of a place before a database may go there. */
export type Place = {
	readonly path: string;
	readonly platform: NodeJS.Platform;
	/** `statfs` magic number, where the system has one. */
	readonly fileSystem?: number;
	/** Name of the file system in the mount table, where it was read. */
	readonly mountType?: string;
};

/** The folder the books are kept in: as asked for, else FILLMARK_DATA, else the user's own place for program data. */
export function chooseDataFolder(asked: string | undefined, { platform, home, env }: Surroundings): string {
	const path = platform === 'win32' ? win32 : posix;
	const named = asked ?? env['FILLMARK_DATA'];
	if (named) return path.resolve(named);
	if (platform === 'win32') return path.join(env['APPDATA'] ?? path.join(home, 'AppData', 'Roaming'), 'Fillmark');
	if (platform === 'darwin') return path.join(home, 'Library', 'Application Support', 'Fillmark');
	const xdg = env['XDG_DATA_HOME'];
	return path.join(xdg && path.isAbsolute(xdg) ? xdg : path.join(home, '.local', 'share'), 'Fillmark');
}

/**
 * File systems of other computers, by `statfs` number (Linux: `man 2 statfs`, include/uapi/linux/magic.h). SQLite's WAL
 * needs shared memory and locks that they do not keep (sqlite.org/useovernet.html).
 */
const remoteFileSystems: ReadonlyMap<number, string> = new Map([
	[0x6969, 'NFS'],
	[0x517b, 'SMB'],
	[0xff534d42, 'CIFS'],
	[0xfe534d42, 'SMB2'],
	[0x01021997, '9P'],
	[0x564c, 'NCP'],
	[0x5346414f, 'AFS'],
	[0x6b414653, 'AFS'],
	[0x73757245, 'Coda'],
	[0x00c36400, 'Ceph'],
	[0x0bd00bd0, 'Lustre'],
	[0x47504653, 'GPFS'],
	[0x01161970, 'GFS2'],
	[0x7461636f, 'OCFS2'],
	[0x786f4256, 'a folder shared by the host of this virtual machine'],
	[0xbacbacbc, 'a folder shared by the host of this virtual machine'],
]);

const FUSE = 0x65735546;
/** Local disks that are mounted through FUSE all the same. */
const localFuse = new Set(['fuseblk', 'fuse.overlayfs', 'fuse.fuse-overlayfs', 'fuse.ext2', 'fuse.ext4']);
/** Network mounts by their name in the mount table (macOS `mount`, Linux mountinfo). */
const remoteMounts = /^(smbfs|nfs|afpfs|webdav|ftp|cifs|macfuse|osxfuse)/;

/** Folders that a synchronising program keeps, by their usual names. */
const syncFolders =
	/^(dropbox|onedrive|google ?drive|icloud ?drive|mobile documents|cloudstorage|nextcloud|owncloud|seafile|syncthing|pcloud ?drive)( ?- .+| \(.+\))?$/i;

/** Why a database must not be kept there (the kind of share or folder), or null where it may. */
export function unsafePlace({ path, platform, fileSystem, mountType }: Place): string | null {
	if (platform === 'win32' && /^[\\/]{2}(?![.?][\\/])/.test(path)) return 'a network path';
	if (platform === 'win32' && /^[\\/]{2}[.?][\\/]UNC[\\/]/i.test(path)) return 'a network path';
	const synced = path.split(/[\\/]+/).find((name) => syncFolders.test(name));
	if (synced !== undefined) return `synchronised: ${synced}`;
	if (fileSystem === FUSE) return mountType !== undefined && localFuse.has(mountType) ? null : (mountType ?? 'FUSE');
	const remote = fileSystem === undefined ? undefined : remoteFileSystems.get(fileSystem);
	if (remote !== undefined) return remote;
	return mountType !== undefined && remoteMounts.test(mountType) ? mountType : null;
}

/** The real folder, made for this user alone where it was missing; refused where a database would not be safe. */
export function prepareDataFolder(folder: string): Result<string> {
	const planned = resolve(folder);
	const before = unsafePlace(describePlace(planned));
	if (before !== null) return refuse('data.networkShare', { folder: planned, kind: before });
	try {
		mkdirSync(planned, { recursive: true, mode: 0o700 });
		if (!statSync(planned).isDirectory()) return refuse('data.notWritable', { folder: planned, why: 'it is a file' });
		return ok(realpathSync.native(planned));
	} catch (error) {
		return refuse('data.notWritable', { folder: planned, why: whyOf(error) });
	}
}

/** The folder of this computer's user, from the command line and the environment. */
export function dataFolderHere(asked?: string): string {
	return chooseDataFolder(asked, { platform: process.platform, home: homedir(), env: process.env });
}

function describePlace(folder: string): Place {
	let there = folder;
	while (!existsSync(there) && dirname(there) !== there) there = dirname(there);
	const base = realpathSync.native(there);
	const path = join(base, folder.slice(there.length));
	const { platform } = process;
	if (platform === 'win32') return { path, platform };
	if (platform === 'darwin') {
		const table = spawnSync('/sbin/mount', { encoding: 'utf8' }).stdout ?? '';
		return { path, platform, ...innermostMount(base, bsdMounts(table)) };
	}
	const fileSystem = statfsSync(base).type;
	if (fileSystem !== FUSE || !existsSync(LINUX_MOUNTS)) return { path, platform, fileSystem };
	return { path, platform, fileSystem, ...innermostMount(base, linuxMounts(readFileSync(LINUX_MOUNTS, 'utf8'))) };
}

const LINUX_MOUNTS = '/proc/self/mounts';

export type Mount = { readonly point: string; readonly type: string };

/** The mount table of Linux (`man 5 fstab`): device, point, type; `\\040` in a point stands for a space. */
export function linuxMounts(table: string): Mount[] {
	return table.split('\n').map((line) => {
		const [, point = '', type = ''] = line.split(' ');
		const unescaped = point.replace(/\\(\d{3})/g, (_, octal: string) => String.fromCharCode(Number.parseInt(octal, 8)));
		return { point: unescaped, type };
	});
}

/** The lines `mount` prints on macOS: `device on /point (type, option, …)`. */
export function bsdMounts(table: string): Mount[] {
	return [...table.matchAll(/^.+? on (\/.*) \(([^,)]+).*\)$/gm)].map(([, point = '', type = '']) => ({ point, type }));
}

/** Type of the mount that holds the path: the longest point, and of equal ones the last mounted. */
export function innermostMount(path: string, mounts: readonly Mount[]): { mountType?: string } {
	let best: Mount = { point: '', type: '' };
	for (const mount of mounts) {
		const holds = mount.point === '/' || path === mount.point || path.startsWith(`${mount.point}/`);
		if (mount.point !== '' && holds && mount.point.length >= best.point.length) best = mount;
	}
	return best.type === '' ? {} : { mountType: best.type };
}

/** Where a command was typed: npm runs its scripts in the project folder and keeps the caller's own in INIT_CWD. */
export function callersFolder(script: string): string {
	const typedIn = process.env['npm_lifecycle_event'] === script ? process.env['INIT_CWD'] : undefined;
	return typedIn ?? process.cwd();
}

function whyOf(error: unknown): string {
	const code = error instanceof Error && 'code' in error ? error.code : undefined;
	if (code === 'EEXIST' || code === 'ENOTDIR') return 'there is a file in its place';
	if (code === 'EACCES' || code === 'EPERM') return 'this user may not write there';
	if (code === 'EROFS') return 'the disk is read-only';
	if (code === 'ENOSPC') return 'the disk is full';
	return error instanceof Error ? error.message : String(error);
}
