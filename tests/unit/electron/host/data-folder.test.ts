import { mkdtempSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import {
	bsdMounts,
	chooseDataFolder,
	innermostMount,
	linuxMounts,
	prepareDataFolder,
	unsafePlace,
} from '../../../../electron/host/data-folder.ts';

const scratch: string[] = [];
const scratchFolder = (): string => {
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-test-'));
	scratch.push(folder);
	return folder;
};
afterEach(() => {
	for (const folder of scratch.splice(0)) rmSync(folder, { recursive: true, force: true });
});

test.each([
	['linux', {}, '/home/a/.local/share/Fillmark'],
	['linux', { XDG_DATA_HOME: '/data/a' }, '/data/a/Fillmark'],
	['linux', { XDG_DATA_HOME: 'relative' }, '/home/a/.local/share/Fillmark'],
	['linux', { FILLMARK_DATA: '/farm' }, '/farm'],
	['darwin', {}, '/home/a/Library/Application Support/Fillmark'],
	['win32', { APPDATA: 'C:\\Users\\a\\AppData\\Roaming' }, 'C:\\Users\\a\\AppData\\Roaming\\Fillmark'],
] as const)('on %s with %j the books are kept in %s', (platform, env, expected) => {
	expect(chooseDataFolder(undefined, { platform, env, home: '/home/a' })).toBe(expected);
});

test('the folder asked for goes before the environment', () => {
	const surroundings = { platform: 'linux', env: { FILLMARK_DATA: '/farm' }, home: '/home/a' } as const;
	expect(chooseDataFolder('/asked', surroundings)).toBe('/asked');
});

test.each([
	['an ext4 disk', { path: '/home/a/Fillmark', platform: 'linux', fileSystem: 0xef53 }, null],
	['a tmpfs', { path: '/memory/x', platform: 'linux', fileSystem: 0x01021994 }, null],
	[
		'an NTFS disk through FUSE',
		{ path: '/media/disk/x', platform: 'linux', fileSystem: 0x65735546, mountType: 'fuseblk' },
		null,
	],
	['NFS', { path: '/mnt/office', platform: 'linux', fileSystem: 0x6969 }, 'NFS'],
	['CIFS', { path: '/mnt/office', platform: 'linux', fileSystem: 0xff534d42 }, 'CIFS'],
	['SMB2', { path: '/mnt/office', platform: 'linux', fileSystem: 0xfe534d42 }, 'SMB2'],
	['9P', { path: '/mnt/c/Users/a', platform: 'linux', fileSystem: 0x01021997 }, '9P'],
	['sshfs', { path: '/mnt/far', platform: 'linux', fileSystem: 0x65735546, mountType: 'fuse.sshfs' }, 'fuse.sshfs'],
	['FUSE of unknown kind', { path: '/mnt/far', platform: 'linux', fileSystem: 0x65735546 }, 'FUSE'],
	[
		'a synchronised folder',
		{ path: '/home/a/Nextcloud/Fillmark', platform: 'linux', fileSystem: 0xef53 },
		'synchronised: Nextcloud',
	],
	[
		'a synchronised folder on Windows',
		{ path: 'C:\\Users\\a\\OneDrive - Farm\\Fillmark', platform: 'win32' },
		'synchronised: OneDrive - Farm',
	],
	[
		'a macOS cloud folder',
		{ path: '/Users/a/Library/Mobile Documents/x', platform: 'darwin', mountType: 'apfs' },
		'synchronised: Mobile Documents',
	],
	['a plain Windows folder', { path: 'C:\\Users\\a\\AppData\\Roaming\\Fillmark', platform: 'win32' }, null],
	['a long Windows path', { path: '\\\\?\\C:\\Farm', platform: 'win32' }, null],
	['a Windows share', { path: '\\\\office\\farm\\Fillmark', platform: 'win32' }, 'a network path'],
	['a Windows share in long form', { path: '\\\\?\\UNC\\office\\farm', platform: 'win32' }, 'a network path'],
	['a macOS share', { path: '/Volumes/farm', platform: 'darwin', mountType: 'smbfs' }, 'smbfs'],
	['a macOS disk', { path: '/Users/a/x', platform: 'darwin', mountType: 'apfs' }, null],
] as const)('%s', (_, place, verdict) => {
	expect(unsafePlace(place)).toBe(verdict);
});

test('the innermost mount decides, and of two on one point the last', () => {
	const table = linuxMounts(
		[
			'/dev/sda1 / ext4 rw 0 0',
			'far: /mnt/my\\040farm fuse.sshfs rw 0 0',
			'/dev/sdb1 /mnt/disk ext4 rw 0 0',
			'/dev/sdb1 /mnt/disk fuseblk rw 0 0',
			'',
		].join('\n'),
	);
	const types = ['/home/a', '/mnt/my farm/x', '/mnt/disk/x', '/mnt/disks/x'].map(
		(path) => innermostMount(path, table).mountType,
	);
	expect(types).toEqual(['ext4', 'fuse.sshfs', 'fuseblk', 'ext4']);
});

test('the mount table of macOS is read', () => {
	const table = bsdMounts(
		'/dev/disk1s1 on / (apfs, local, journaled)\n//a@office/farm on /Volumes/my farm (smbfs, nodev)\n',
	);
	expect(innermostMount('/Volumes/my farm/x', table)).toEqual({ mountType: 'smbfs' });
});

test('a missing folder is made for this user alone and given by its real name', () => {
	const folder = scratchFolder();
	symlinkSync(folder, `${folder}-link`);
	scratch.push(`${folder}-link`);
	const made = prepareDataFolder(join(`${folder}-link`, 'a', 'b'));
	expect(made).toEqual({ ok: true, value: join(folder, 'a', 'b') });
	expect(statSync(join(folder, 'a', 'b')).mode & 0o777).toBe(0o700);
});

test('a file in its place is refused', () => {
	const file = join(scratchFolder(), 'books');
	writeFileSync(file, '');
	expect(prepareDataFolder(file)).toEqual({
		ok: false,
		problem: { code: 'data.notWritable', details: { folder: file, why: 'there is a file in its place' } },
	});
});

test('a synchronised folder is refused before anything is made', () => {
	const folder = join(scratchFolder(), 'Dropbox', 'farm');
	expect(prepareDataFolder(folder)).toEqual({
		ok: false,
		problem: { code: 'data.networkShare', details: { folder, kind: 'synchronised: Dropbox' } },
	});
	expect(statSync(folder, { throwIfNoEntry: false })).toBeUndefined();
});
