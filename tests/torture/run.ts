/** `npm run torture`: kills the program, tears its files, and says what was lost. `-- --quick` for a first look. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '../unit/seeded-random.ts';
import { killFirstStart } from './kill-first-start.ts';
import { killWhilePosting } from './kill-while-posting.ts';
import { tearFiles } from './torn-files.ts';

const quick = process.argv.includes('--quick');
const random = seededRandom(20_270_415);
const folder = mkdtempSync(join(tmpdir(), 'fillmark-torture-'));
let failed = 0;

function report(suite: string, good: boolean, figures: object): void {
	if (!good) failed += 1;
	console.log(`${good ? 'ok    ' : 'FAILED'} ${suite}: ${JSON.stringify(figures)}`);
}

try {
	const posting = await killWhilePosting(folder, quick ? 20 : 2_000, random);
	const keptAll = posting.lost.length === 0 && posting.half.length === 0 && posting.chainsWhole;
	report('killed while logging loads', keptAll && posting.stored - posting.acknowledged <= posting.kills, posting);

	const starts = await killFirstStart(join(folder, 'first'), quick ? 20 : 200, random);
	report('killed in the first start', starts.unopenable.length === 0, starts);

	const torn = await tearFiles(folder, quick ? 50 : 500, random);
	report('files cut and bytes flipped', torn.silent.length === 0 && torn.refused + torn.found > 0, torn);
} finally {
	rmSync(folder, { recursive: true, force: true });
}
process.exitCode = failed > 0 ? 1 : 0;
