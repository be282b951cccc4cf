/** Opens the books of a folder, says how that went, and closes them. */
import { writeSync } from 'node:fs';
import { openBook } from '../../../db/open-book.ts';

const [folder = ''] = process.argv.slice(2);
const book = openBook({ folder });
writeSync(1, `${book.ok ? 'open' : book.problem.code}\n`);
if (book.ok) book.value.close();
