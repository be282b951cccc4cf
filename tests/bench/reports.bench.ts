import { type ReportName, reportNames } from '../../shared/contract/season.ts';
import { FIELDS, LAST_SEASON, SEASONS, writeBigBook } from './big-book.ts';
import { twins } from './report-twins.ts';
import type { BenchRow } from './row.ts';

const DAY_MS = 86_400_000;
/** The best of so many runs: more of the short ones, which other work on the machine disturbs most. */
const MOST_RUNS = 40;
const LEAST_RUNS = 2;
const LONG_ENOUGH_MS = 4_000;

/**
 * Every report of the last of 20 seasons on 1,000 fields (60,000 of 1.2 million record lines), beside one statement
 * written by hand for the same rows, in processor time. Rows and a summed figure of both must agree, or the bench fails.
 */
export async function reportRows(): Promise<BenchRow[]> {
	const book = await writeBigBook();
	try {
		const rows: BenchRow[] = [];
		for (const report of reportNames) {
			const { sql, figure } = twins[report];
			const period = periodOf(report);
			const times = { start: Date.parse(period.from), end: Date.parse(period.to) + DAY_MS - 1 };
			const given = Object.entries({ ...period, ...times, season: LAST_SEASON });
			const parameters = Object.fromEntries(given.filter(([name]) => new RegExp(`@${name}\\b`).test(sql)));
			const statement = book.sqlite.prepare<unknown[], Row>(sql);
			let [ours, reference, found, expected] = [Infinity, Infinity, '', ''];
			const began = performance.now();
			for (let run = 0; run < MOST_RUNS; run++) {
				if (run >= LEAST_RUNS && performance.now() - began > LONG_ENOUGH_MS) break;
				const start = busyMs();
				const plain = statement.all(parameters);
				const between = busyMs();
				const read = await book.api.season.read({ report, ...period });
				ours = Math.min(ours, busyMs() - between);
				reference = Math.min(reference, between - start);
				[found, expected] = [told(read.rows, figure), told(plain, figure)];
			}
			if (found !== expected) throw new Error(`${report}: ${found} in the program, ${expected} in its statement`);
			rows.push({ name: `report: ${report}`, ours, reference, ratio: ours / reference, note: found });
		}
		return rows;
	} finally {
		book.close();
	}
}

/** Processor time of this process, all its threads: other work on the machine does not count. */
function busyMs(): number {
	const { user, system } = process.cpuUsage();
	return (user + system) / 1000;
}

type Row = Readonly<Record<string, string | number | null>>;

/** Of these there are few in a season. */
const overAllSeasons: readonly ReportName[] = ['stock counts', 'incident log'];

/** A season; for what holds now, weeks in which much was sprayed; for what is seldom, all seasons. */
function periodOf(report: ReportName): { from: string; to: string } {
	if (report === 'today') return { from: `${LAST_SEASON}-05-01`, to: `${LAST_SEASON}-05-20` };
	const seasons = overAllSeasons.includes(report) ? SEASONS : 1;
	return { from: `${LAST_SEASON - seasons}-09-01`, to: `${LAST_SEASON}-08-31` };
}

function told(rows: readonly Row[], figure: string | null): string {
	const size = (cell: string | number | null | undefined) => (typeof cell === 'string' ? cell.length : Number(cell));
	const sum = figure === null ? '' : `, ${figure} ${rows.reduce((all, row) => all + size(row[figure]), 0).toFixed(2)}`;
	return `${rows.length} rows${sum}; ${FIELDS} fields, ${SEASONS} seasons`;
}
