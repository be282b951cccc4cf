/**
 * Restores two backups in turn until it is killed. `byHand` is the control: it moves the books away, then copies the
 * backup into their place.
 */
import { copyFileSync, mkdtempSync, renameSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { apiOf, opened } from './farm.ts';

const [folder = '', first = '', second = '', how = ''] = process.argv.slice(2);
let book = opened(folder);
writeSync(1, 'ready\n');
for (let count = 0; ; count++) {
	const path = count % 2 === 0 ? first : second;
	if (how === 'byHand') {
		book.close();
		renameSync(book.file, join(mkdtempSync(join(folder, 'before-')), 'old.sqlite'));
		copyFileSync(path, book.file);
		for (const suffix of ['-wal', '-shm']) rmSync(book.file + suffix, { force: true });
		book = opened(folder);
	} else await apiOf(book).upkeep.restore({ path });
	writeSync(1, `${count}\n`);
}
