/** Says when it is about to open the books of a folder and when they are open; then works on in them until it is killed. */
import { writeSync } from 'node:fs';
import { apiOf, layOut, logLoadWithSheet, opened } from './farm.ts';

const [folder = ''] = process.argv.slice(2);
writeSync(1, 'ready\n');
const book = opened(folder);
writeSync(1, 'open\n');
const api = apiOf(book);
const farm = await layOut(api, book);
for (let count = 0; ; count++) await logLoadWithSheet(api, farm, `open ${count}`);
