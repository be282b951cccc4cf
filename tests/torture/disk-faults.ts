import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { DATABASE_NAME } from '../../db/open-book.ts';
import { type Children, waitFor } from './children.ts';
import { inspect, isWhole } from './inspect.ts';

/** Which step fails, and how. */
export type Fault = {
	readonly name: string;
	readonly fails: 'w' | 's';
	readonly full?: boolean;
	readonly sticky?: boolean;
	/** The process ends at the first refusal. */
	readonly dies?: boolean;
};

export const faults: readonly Fault[] = [
	{ name: 'a write fails once', fails: 'w' },
	{ name: 'writes fail from then on', fails: 'w', sticky: true },
	{ name: 'the disk is full from then on', fails: 'w', sticky: true, full: true },
	{ name: 'a sync fails once', fails: 's' },
	{ name: 'a sync fails, then the process dies', fails: 's', dies: true },
	{ name: 'a write fails, then the process dies', fails: 'w', dies: true },
];

export type FaultCount = {
	readonly runs: number;
	readonly refused: number;
	/** Reported as failed and stored all the same: why a second try must be no second entry. */
	readonly storedAllTheSame: number;
	readonly codes: readonly string[];
	readonly bad: readonly string[];
};

type Climbing = {
	readonly children: Children;
	readonly disk: string;
	readonly folder: string;
	readonly fault: Fault;
	/** How many rungs are passed over at a time. */
	readonly stride: number;
};

type Told = {
	readonly acknowledged: readonly string[];
	readonly refused: readonly (readonly [key: string, code: string])[];
	readonly again: readonly string[];
	readonly commands: number;
};

/** Fails the first step, then the second, and so on until the work runs through untouched; looks at the books each time. */
export async function climb({ children, disk, folder, fault, stride }: Climbing): Promise<FaultCount> {
	const codes = new Set<string>();
	const count = { runs: 0, refused: 0, storedAllTheSame: 0, bad: [] as string[] };
	for (let at = 1; ; at += stride) {
		rmSync(folder, { recursive: true, force: true });
		mkdirSync(folder, { recursive: true });
		const inFolder = (name: string) => join(folder, name);
		const [books, armed] = [inFolder('books'), inFolder('armed')];
		const [result, counted] = [inFolder('result'), inFolder('counted')];
		const env = {
			...faultEnvironment({ disk, file: join(books, DATABASE_NAME), fault, at, counted }),
			DISK_ARMED: armed,
		};
		const child = children.start('log-through-faults', [books, armed, result, fault.dies ? 'die' : ''], { env });
		const { trouble } = await waitFor(child);
		count.runs += 1;
		const told = read(result);
		if (!told) {
			count.bad.push(`step ${at}: ${trouble.split('\n').find((line) => line.includes('Error')) ?? trouble}`);
			continue;
		}
		for (const [, code] of told.refused) codes.add(code);
		count.refused += told.refused.length;
		const seen = await inspect(books, [...told.acknowledged, ...told.again]);
		const wanted = fault.dies ? null : told.acknowledged.length + told.refused.length;
		if (fault.dies) count.storedAllTheSame += seen.commands - told.commands;
		if (seen.lost.length > 0 || seen.half.length > 0 || seen.brokenChains.length > 0) {
			count.bad.push(`step ${at}: ${JSON.stringify(seen)}`);
		}
		if (wanted !== null && (seen.stored !== wanted || seen.documents !== wanted)) {
			count.bad.push(`step ${at}: ${seen.stored} loads and ${seen.documents} sheets stored, not ${wanted}`);
		}
		if (stepsTaken(counted) < at) return { ...count, codes: [...codes].sort() };
	}
}

/** How many steps could have failed; a process that was killed had more before it. */
function stepsTaken(counted: string): number {
	return existsSync(counted) ? Number(readFileSync(counted, 'utf8')) : Number.POSITIVE_INFINITY;
}

function read(result: string): Told | null {
	try {
		return JSON.parse(readFileSync(result, 'utf8')) as Told;
	} catch {
		return null;
	}
}

export type OpeningFaults = { readonly runs: number; readonly refused: number; readonly bad: readonly string[] };

/** Lays books out in a folder; what comes back says, later, what is wrong with them. */
export type Laying = (folder: string) => () => Promise<readonly string[]>;

/** Fails each step of opening and closing books. A later start, with a sound disk, finds everything. */
export async function climbWhileOpening(climbing: Climbing & { readonly lay: Laying }): Promise<OpeningFaults> {
	const { children, disk, folder, fault, stride, lay } = climbing;
	const [books, counted] = [join(folder, 'books'), join(folder, 'counted')];
	const count = { runs: 0, refused: 0, bad: [] as string[] };
	for (let at = 1; ; at += stride) {
		rmSync(books, { recursive: true, force: true });
		rmSync(counted, { force: true });
		mkdirSync(books);
		const wrong = lay(books);
		const env = faultEnvironment({ disk, file: join(books, DATABASE_NAME), fault, at, counted });
		const { lines } = await waitFor(children.start('open-once', [books], { env }));
		count.runs += 1;
		const [said = 'nothing'] = lines;
		if (said !== 'open') count.refused += 1;
		if (!['open', 'data.diskFault', 'data.full'].includes(said)) count.bad.push(`step ${at}: ${said}`);
		count.bad.push(...(await wrong()).map((why) => `step ${at}: ${why}`));
		if (stepsTaken(counted) < at) return count;
	}
}

/** Books as a killed process left them, with everything in their log. */
export function leftOpen(source: string, acknowledged: readonly string[]): Laying {
	return (folder) => {
		for (const suffix of ['', '-wal']) {
			copyFileSync(join(source, DATABASE_NAME + suffix), join(folder, DATABASE_NAME + suffix));
		}
		return async () => {
			const seen = await inspect(folder, acknowledged);
			return isWhole(seen) ? [] : [JSON.stringify(seen)];
		};
	};
}

type Faulty = { disk: string; file: string; fault: Fault; at: number; counted: string };

function faultEnvironment({ disk, file, fault, at, counted }: Faulty): Record<string, string> {
	return {
		LD_PRELOAD: disk,
		DISK_FILE: file,
		DISK_FAIL: fault.fails,
		DISK_AT: String(at),
		DISK_COUNTED: counted,
		...(fault.sticky ? { DISK_STICKY: '1' } : {}),
		...(fault.full ? { DISK_FULL: '1' } : {}),
	};
}
