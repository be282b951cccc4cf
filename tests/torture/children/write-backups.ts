/**
 * Backs the books of a folder up under one name after the other until it is killed. `straight` is the control: it writes
 * each copy under its final name at once.
 */
import { writeSync } from 'node:fs';
import { join } from 'node:path';
import { apiOf, opened } from './farm.ts';

const [folder = '', target = '', round = '0', how = ''] = process.argv.slice(2);
const book = opened(folder);
const api = apiOf(book);
writeSync(1, 'ready\n');
for (let count = 0; ; count++) {
	const path = join(target, `${round}-${count}.backup`);
	if (how === 'straight') book.reader.prepare('VACUUM INTO ?').run(path);
	else await api.upkeep.backup({ path });
	writeSync(1, `${path}\n`);
}
