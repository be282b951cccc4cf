import { join } from 'node:path';
import { seededRandom } from '../unit/seeded-random.ts';
import { type Children, waitFor } from './children.ts';
import { climb, climbWhileOpening, type Fault, faults, leftOpen } from './disk-faults.ts';
import type { compileDisk } from './disk-library.ts';
import { isWhole } from './inspect.ts';
import { killInBackup, killInRestore } from './kill-in-upkeep.ts';
import { booksOfFirstVersion, killInFirstStart, killInUpdate } from './kill-while-opening.ts';
import { killWhilePosting } from './kill-while-posting.ts';
import type { Outcome, Size, Sizes } from './outcome.ts';
import { cutPower } from './power-loss.ts';
import { tearBackups } from './torn-backups.ts';
import { tearFiles } from './torn-files.ts';

type Place = {
	readonly children: Children;
	readonly disk: ReturnType<typeof compileDisk>;
	readonly folder: string;
	readonly size: Size;
};
type Found = Omit<Outcome, 'suite'>;
export type Suite = { readonly name: string; run(place: Place): Promise<Outcome> };

function suite(name: string, run: (place: Place) => Promise<Found>): Suite {
	return { name, run: async (place) => ({ suite: name, ...(await run(place)) }) };
}

/** A suite that puts its own disk under the program. */
function onOwnDisk(name: string, run: (place: Place & { readonly library: string }) => Promise<Found>): Suite {
	return suite(name, async (place) => {
		if ('missing' in place.disk) return { good: null, figures: {}, note: place.disk.missing };
		return run({ ...place, library: place.disk.path });
	});
}

/** The first of what went wrong, where something did. */
function noted(bad: readonly string[]): { note?: string } {
	return bad[0] === undefined ? {} : { note: bad.slice(0, 3).join('; ') };
}

const KILLS: Sizes = { quick: 20, usual: 300, long: 2_000 };
const SMALLER_KILLS: Sizes = { quick: 10, usual: 60, long: 300 };
const IMAGES: Sizes = { quick: 60, usual: 1_000, long: 10_000 };
const CONTROL_IMAGES: Sizes = { quick: 60, usual: 200, long: 500 };
const STRIDE: Sizes = { quick: 40, usual: 5, long: 1 };
const COPIES: Sizes = { quick: 70, usual: 700, long: 3_500 };

const kills: readonly Suite[] = [
	suite('killed while logging loads', async ({ children, folder, size }) => {
		const found = await killWhilePosting({ children, folder, kills: KILLS[size], random: seededRandom(1) });
		const { lost, half, brokenChains, kills: killed, acknowledged, stored, documents } = found;
		return {
			good: isWhole(found) && stored - acknowledged <= killed && documents >= acknowledged,
			figures: { kills: killed, acknowledged, stored, documents, lost: lost.length, half: half.length },
			...noted([...lost, ...half, ...brokenChains]),
		};
	}),
	suite('control: acknowledged too early', async ({ children, folder }) => {
		const found = await killWhilePosting({ children, folder, kills: 20, random: seededRandom(2), tooEarly: true });
		return { good: found.lost.length > 0, figures: { kills: found.kills, lost: found.lost.length } };
	}),
	suite('killed in the first start', async ({ children, folder, size }) => {
		const where = { children, folder: join(folder, 'books'), random: seededRandom(3) };
		const found = await killInFirstStart({ ...where, kills: SMALLER_KILLS[size] });
		const figures = { kills: found.kills, 'half way': found.halfWay, bad: found.bad.length };
		return { good: found.bad.length === 0 && found.halfWay > 0, figures, ...noted(found.bad) };
	}),
	suite('killed while updating old books', async ({ children, folder, size }) => {
		const where = { children, folder: join(folder, 'books'), random: seededRandom(4) };
		const found = await killInUpdate({ ...where, kills: SMALLER_KILLS[size] });
		const figures = { kills: found.kills, 'half way': found.halfWay, bad: found.bad.length };
		return { good: found.bad.length === 0 && found.halfWay > 0, figures, ...noted(found.bad) };
	}),
	...([false, true] as const).map((sabotaged) =>
		suite(sabotaged ? 'control: backup named at once' : 'killed while backing up', async (place) => {
			const where = { ...place, random: seededRandom(5), sabotaged };
			const { bad, done, kills: killed } = await killInBackup({ ...where, kills: SMALLER_KILLS[place.size] });
			const good = sabotaged ? bad.length > 0 : bad.length === 0;
			return { good, figures: { kills: killed, done, bad: bad.length }, ...(sabotaged ? {} : noted(bad)) };
		}),
	),
	...([false, true] as const).map((sabotaged) =>
		suite(sabotaged ? 'control: restored by hand' : 'killed while restoring', async (place) => {
			const where = { ...place, random: seededRandom(6), sabotaged };
			const most = sabotaged ? 400 : SMALLER_KILLS[place.size];
			const { bad, done, kills: killed } = await killInRestore({ ...where, kills: most });
			const good = sabotaged ? bad.length > 0 : bad.length === 0;
			return { good, figures: { kills: killed, done, bad: bad.length }, ...(sabotaged ? {} : noted(bad)) };
		}),
	),
];

const power: readonly Suite[] = [
	onOwnDisk('power cut', async ({ children, folder, size, library }) => {
		const cut = { children, folder, disk: library, loads: 60, random: seededRandom(7) };
		const { acknowledged, syncs, images, losing, bad } = await cutPower({ ...cut, images: IMAGES[size] });
		// Each load is three commits with its sheet; every one of them is synced before it is acknowledged.
		const good = losing === 0 && bad.length === 0 && acknowledged === 60 && syncs >= 3 * acknowledged;
		return { good, figures: { images, acknowledged, syncs, losing, bad: bad.length }, ...noted(bad) };
	}),
	...(['NORMAL', 'deaf'] as const).map((sabotage) =>
		onOwnDisk(
			sabotage === 'NORMAL'
				? 'control: power cut, synchronous = NORMAL'
				: 'control: power cut, a disk that never syncs',
			async ({ children, folder, size, library }) => {
				const cut = { children, folder, disk: library, loads: 60, random: seededRandom(8), sabotage };
				const { images, losing, mostLost } = await cutPower({ ...cut, images: CONTROL_IMAGES[size] });
				return { good: losing > 0, figures: { images, losing, 'most lost': mostLost } };
			},
		),
	),
];

const whileOpening: readonly Fault[] = faults.filter(({ dies }) => !dies);

const disk: readonly Suite[] = [
	...faults.map((fault) =>
		onOwnDisk(`disk: ${fault.name}`, async ({ children, folder, size, library }) => {
			const stride = fault.fails === 's' && size !== 'quick' ? 1 : STRIDE[size];
			const found = await climb({ children, folder, disk: library, fault, stride });
			const { runs, refused, storedAllTheSame, codes, bad } = found;
			const expected = fault.full ? 'data.full' : 'data.diskFault';
			return {
				good: bad.length === 0 && refused > 0 && codes.join() === expected,
				figures: { runs, refused, 'stored all the same': storedAllTheSame, bad: bad.length },
				...noted(codes.join() === expected ? bad : [`refused with ${codes.join()}`, ...bad]),
			};
		}),
	),
	...whileOpening.map((fault) =>
		onOwnDisk(`opening left books: ${fault.name}`, async ({ children, folder, size, library }) => {
			const source = join(folder, 'source');
			const keys = Array.from({ length: 8 }, (_, load) => `left-${load}`);
			await waitFor(
				children.start('post-loads', [JSON.stringify({ folder: source, round: 'left', loads: keys.length })]),
			);
			const climbing = { children, folder, disk: library, fault, stride: STRIDE[size] };
			const { runs, refused, bad } = await climbWhileOpening({ ...climbing, lay: leftOpen(source, keys) });
			return { good: bad.length === 0, figures: { runs, refused, bad: bad.length }, ...noted(bad) };
		}),
	),
	...whileOpening.map((fault) =>
		onOwnDisk(`updating old books: ${fault.name}`, async ({ children, folder, size, library }) => {
			const climbing = { children, folder, disk: library, fault, stride: STRIDE[size] };
			const { runs, refused, bad } = await climbWhileOpening({ ...climbing, lay: booksOfFirstVersion });
			return { good: bad.length === 0 && refused > 0, figures: { runs, refused, bad: bad.length }, ...noted(bad) };
		}),
	),
];

const torn: readonly Suite[] = [
	...([undefined, 'waiting'] as const).map((aside) =>
		suite(aside ? 'files torn, looked through aside' : 'files torn', async ({ folder, size }) => {
			const tearing = { folder, copies: COPIES[size], random: seededRandom(9) };
			const torn = await tearFiles({ ...tearing, ...(aside ? { aside } : {}) });
			const { copies, refused, sound, found, silent, broken } = torn;
			const figures = { copies, refused, sound, found, silent: silent.length, broken: broken.length };
			const good = silent.length === 0 && broken.length === 0 && refused > 0 && sound > 0;
			return { good, figures, ...noted([...silent, ...broken]) };
		}),
	),
	suite('control: torn, written without waiting', async ({ folder }) => {
		const { copies, silent } = await tearFiles({ folder, copies: 70, random: seededRandom(9), aside: 'hasty' });
		return { good: silent.length > 0, figures: { copies, silent: silent.length } };
	}),
	suite('control: a row rewritten with its links', async ({ folder }) => {
		const { copies, silent } = await tearFiles({ folder, copies: 1, random: seededRandom(10), rewritten: true });
		return { good: silent.length === copies, figures: { copies, silent: silent.length } };
	}),
	...([false, true] as const).map((untouched) =>
		suite(untouched ? 'control: backups left whole' : 'backups torn in their documents', async ({ folder, size }) => {
			const most = untouched ? 3 : COPIES[size];
			const { copies, named, refused, silent } = await tearBackups({
				...{ folder, copies: most, random: seededRandom(11), untouched },
			});
			const good = untouched ? silent.length === copies : silent.length === 0 && named > 0 && refused > 0;
			return { good, figures: { copies, named, refused, silent: silent.length }, ...(untouched ? {} : noted(silent)) };
		}),
	),
];

export const suites: readonly Suite[] = [...kills, ...power, ...disk, ...torn];
