import type { Job, LoadLog } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { Alternative, PlannedLoad, Strategy } from '../../../shared/contract/jobs-plan.ts';
import { saidStop, worthStopping } from '../../../shared/core/filling/stop-length.ts';
import { capital, count, duration, figure } from '../../format.ts';
import { isCarriedOn, quantityWords, spacesInAll } from '../../held-words.ts';
import { portionWord, restWord } from '../../kind-words.ts';
import { containersOf, spareOf } from '../../pictures/fill.ts';
import type { Units } from '../../units.ts';

/** The ways to break a job into loads, as people say them. */
export function strategyWords(
	strategy: Strategy,
	{ several, vessels }: { readonly several: string; readonly vessels: string } = { several: 'loads', vessels: 'tanks' },
): string {
	if (strategy === 'full') return `Full ${vessels}, then the rest`;
	return strategy === 'even' ? `Equal ${several}` : 'Where containers run out';
}

/** Below a tenth of a square metre nothing is left. */
const NOTHING_HA = 1e-5;

/** Of seed or a closed space: below a millionth of its unit nothing is left. */
const NOTHING = 1e-6;

/** `ends with Rookery`, or `ends 3.40 ha into Long Piece` counted from where that field was begun. */
export function whereLoadEnds(loads: readonly PlannedLoad[], load: number, farmUnits: Units): string {
	const last = loads.find((each) => each.load === load)?.ground.at(-1);
	if (!last) return 'goes nowhere';
	if (last.finishesField) return `ends with ${last.field}`;
	const intoHa = loads
		.filter((each) => each.load <= load)
		.flatMap((each) => each.ground)
		.filter(({ fieldId }) => fieldId === last.fieldId)
		.reduce((sum, { areaHa }) => sum + areaHa, 0);
	return `ends ${farmUnits.area(intoHa)} into ${last.field}`;
}

/** Why this way of splitting is recommended, against the other ways. */
export function whyRecommended(recommended: Strategy, ways: readonly Alternative[]): string {
	const chosen = ways.find(({ strategy }) => strategy === recommended);
	const others = ways.filter(({ strategy }) => strategy !== recommended);
	if (!chosen || others.length === 0) return '';
	const least = Math.min(...others.map(({ measuredPours }) => measuredPours));
	if (chosen.measuredPours < least) {
		return `Recommended: ${pours(chosen.measuredPours)} instead of ${figure(least)} or more. Each one is exposure and a chance to be wrong.`;
	}
	return `Recommended: no other way needs fewer than ${pours(chosen.measuredPours)}, and this is the plainest.`;
}

function pours(many: number): string {
	return many === 0 ? 'no measured pour' : count(many, 'measured pour');
}

export type FillWords = { readonly say: string; readonly under: string };

/** The fill in words: does every container go in while the water runs, or where must it be stopped. */
export function fillWords({ load, fill, startL, plan }: LoadCard, farmUnits: Units): FillWords | null {
	if (isCarriedOn(plan)) {
		const under = `The ${farmUnits.volume(plan.carriedInL)} of mix left in the tank go onto ${farmUnits.area(plan.areaHa)}.`;
		return { say: `Load ${load}: nothing to fill.`, under };
	}
	if (!fill) return null;
	const many = containersOf(fill).filter(({ rinseOnly }) => !rinseOnly).length;
	if (many === 0)
		return { say: `Load ${load}: no container to pour.`, under: `Water to ${farmUnits.volume(plan.totalL)}.` };
	const start = `Open the first at ${farmUnits.volume(startL)}.`;
	if (fill.fits) {
		const spare = spareOf(fill);
		const all =
			many === 1 ? 'the one container fits' : many === 2 ? 'both containers fit' : `all ${figure(many)} containers fit`;
		const rest = spare ? ` The last is done ${duration(spare.toS - spare.fromS)} before the tank is full.` : '';
		return { say: `Load ${load}: ${all} while it fills.`, under: start + rest };
	}
	if (fill.fitsWithPause && !worthStopping(fill.pausedS)) {
		const all = many === 1 ? 'the one container' : many === 2 ? 'both containers' : `all ${figure(many)} containers`;
		return {
			say: `Load ${load}: ${all} just ${many === 1 ? 'fits' : 'fit'} while it fills.`,
			under: `${start} The last is done as the tank comes full: lose no time.`,
		};
	}
	const waits = fill.containersThatFit >= many;
	const fitting = waits
		? `${many === 1 ? 'the one container goes' : 'all containers go'} in, but must disperse`
		: many === 1
			? `the one container ${fill.containersThatFit === 1 ? 'fits' : 'does not fit'}`
			: `${figure(fill.containersThatFit)} of ${figure(many)} containers ${fill.containersThatFit === 1 ? 'fits' : 'fit'}`;
	if (fill.pauseAtL === null) return { say: `Load ${load}: ${fitting} while it fills.`, under: start };
	const whole = many === 1 ? 'it' : 'all of them';
	const length = fill.pausedS > 0 ? ` for ${duration(saidStop(fill.pausedS))}` : '';
	const here = Math.abs(fill.pauseAtL - startL) < 1;
	const stop = here
		? `Shut the inlet at ${farmUnits.volume(fill.pauseAtL)}${length} and open the first there`
		: `${start} Shut the inlet at ${farmUnits.volume(fill.pauseAtL)}${length} and go on pouring`;
	const then = waits
		? 'then it disperses before the tank is full'
		: `then ${many === 1 ? 'it fits' : 'all of them fit'}`;
	return {
		say: `Load ${load}: ${fitting}; stop at ${farmUnits.volume(fill.pauseAtL)}.`,
		under: fill.fitsWithPause
			? `${stop}; ${then}.`
			: `${start} Even a stop of the inlet does not make ${whole} fit: pour the rest before going on with the water.`,
	};
}

/** How a load ended that was broken off, or what is still to go of it; null: it was not, or went on to its end. */
export function brokenOffWords(job: Job, load: PlannedLoad, farmUnits: Units): FillWords | null {
	const { logs, kind } = job;
	const standing = standingLogs(logs, load.load);
	const stopped = standing.at(-1)?.stopped;
	if (!stopped) return null;
	const { why, mixLeftL, mix } = stopped;
	const one = `${capital(portionWord(kind))} ${load.load} was broken off`;
	const so = mix === 'kept' ? ' so far' : '';
	const left = mixLeftL === null ? '' : ` ${farmUnits.volume(mixLeftL)} of ${restWord(kind)} ${stoppedWords[mix]}.`;
	return {
		say:
			mix === 'kept'
				? `${one}: ${toGo(job, load, farmUnits) ?? 'nothing'} to go.`
				: `${one} after ${donePart(job, standing, farmUnits)}.`,
		under: `${why ? `${capital(why)}.` : ''}${left} What went in${so} stands under “Logged”.`.trim(),
	};
}

const stoppedWords = {
	kept: 'were kept',
	disposed: 'were disposed of',
	'carried on': 'went into a later load',
} as const;

/** What the logs of a load covered or treated. */
function donePart({ seed, indoors }: Job, logs: readonly LoadLog[], farmUnits: Units): string {
	const sum = (amounts: readonly number[]) => amounts.reduce((total, amount) => total + amount, 0);
	if (seed) return quantityWords(sum(logs.map((log) => log.seed ?? 0)), seed.unit);
	if (indoors) return quantityWords(sum([...spacesTreated(logs).values()]), indoors.unit);
	return `${farmUnits.area(sum(logs.flatMap(({ fields }) => fields.map(({ areaHa }) => areaHa))))}`;
}

/** What of a load was not covered or treated by its logs; null: nothing is left of it. */
function toGo({ logs, seed, indoors }: Job, load: PlannedLoad, farmUnits: Units): string | null {
	const standing = standingLogs(logs, load.load);
	const { ground, spaces } = restOfLoad(load, standing);
	const ha = ground.reduce((sum, { areaHa }) => sum + areaHa, 0);
	const seedLeft = seedToGo(load, standing);
	if (seed) return seedLeft > NOTHING ? quantityWords(seedLeft, seed.unit) : null;
	if (indoors) return spaces.length > 0 ? quantityWords(spacesInAll(spaces), indoors.unit) : null;
	return ha > NOTHING_HA ? `${farmUnits.area(ha)}` : null;
}

function seedToGo(load: PlannedLoad, logs: readonly LoadLog[]): number {
	return (load.seed ?? 0) - logs.reduce((sum, log) => sum + (log.seed ?? 0), 0);
}

/** `10.50 ha`: what mix that was disposed of was meant for, and no load that is still to come goes onto; null: nothing. */
export function leftWithoutLoad({ plan, logs, fields, seed, indoors }: Job, farmUnits: Units): string | null {
	const standing = logs.filter(({ state }) => state !== 'reversed');
	if (!standing.some(({ stopped }) => stopped?.mix === 'disposed')) return null;
	const open = plan.loads
		.filter(({ load }) => loadState(logs, load) !== 'logged')
		.map((load) => {
			const own = standingLogs(logs, load.load);
			return { ...restOfLoad(load, own), seed: seedToGo(load, own) };
		});
	const sum = (amounts: readonly number[]) => amounts.reduce((total, amount) => total + amount, 0);
	if (seed) {
		const left = seed.amount - sum(standing.map((log) => log.seed ?? 0)) - sum(open.map((load) => load.seed));
		return left > NOTHING ? quantityWords(left, seed.unit) : null;
	}
	if (indoors) {
		const treated = spacesTreated(standing);
		const coming = open.flatMap(({ spaces }) => spaces);
		const left = spacesInAll(indoors.spaces) - sum([...treated.values()]) - spacesInAll(coming);
		return left > NOTHING ? quantityWords(left, indoors.unit) : null;
	}
	const coming = open.flatMap(({ ground }) => ground);
	const left = fields.map(({ fieldId, areaHa, treatedHa }) => {
		const planned = sum(coming.filter((part) => part.fieldId === fieldId).map((part) => part.areaHa));
		return Math.max(0, areaHa - treatedHa - planned);
	});
	return sum(left) > LEFT_HA ? `${farmUnits.area(sum(left))}` : null;
}

/** Below half an are nothing is left to say. */
const LEFT_HA = 0.005;

export type LoadState = 'to do' | 'broken off' | 'logged';

/** Logs of a load that still stand. */
export function standingLogs(logs: readonly LoadLog[], load: number): LoadLog[] {
	return logs.filter((log) => log.load === load && log.state !== 'reversed');
}

/** Logged in full, or broken off with the mix disposed of: the load is over. Broken off with the mix kept: it goes on. */
export function loadState(logs: readonly LoadLog[], load: number): LoadState {
	const standing = standingLogs(logs, load);
	if (standing.some(({ state, stopped }) => state === 'complete' || (stopped && stopped.mix !== 'kept')))
		return 'logged';
	return standing.length > 0 ? 'broken off' : 'to do';
}

/** The next load to fill or go on with; null when all are over. */
export function nextLoad({ plan, logs }: Pick<Job, 'plan' | 'logs'>): number | null {
	return plan.loads.find(({ load }) => loadState(logs, load) !== 'logged')?.load ?? null;
}

export type Rest = {
	readonly ground: readonly { readonly fieldId: string; readonly field: string; readonly areaHa: number }[];
	readonly spaces: readonly { readonly spaceId: string; readonly name: string; readonly amount: number }[];
	readonly products: readonly { readonly productId: string; readonly amount: number; readonly before: number }[];
};

/** What some logs treated of each closed space. */
export function spacesTreated(logs: readonly LoadLog[]): Map<string, number> {
	return sumBy(logs.flatMap(({ spaces = [] }) => spaces.map(({ spaceId, amount }) => [spaceId, amount] as const)));
}

/** What is left of a load after what was logged before it was broken off: its ground or spaces, and what still goes in. */
export function restOfLoad(load: PlannedLoad, before: readonly LoadLog[]): Rest {
	const covered = sumBy(
		before.flatMap(({ fields }) => fields.map(({ fieldId, areaHa }) => [fieldId, areaHa] as const)),
	);
	const poured = sumBy(
		before.flatMap(({ products }) => products.map(({ productId, amount }) => [productId, amount] as const)),
	);
	const treated = spacesTreated(before);
	return {
		spaces: (load.spaces ?? [])
			.map(({ spaceId, name, amount }) => ({ spaceId, name, amount: amount - (treated.get(spaceId) ?? 0) }))
			.filter(({ amount }) => amount > NOTHING),
		ground: load.ground
			.map(({ fieldId, field, areaHa }) => ({ fieldId, field, areaHa: areaHa - (covered.get(fieldId) ?? 0) }))
			.filter(({ areaHa }) => areaHa > NOTHING_HA),
		products: load.products.map(({ productId, amount }) => {
			const had = poured.get(productId) ?? 0;
			return { productId, before: had, amount: Math.max(0, Math.round((amount - had) * 1e6) / 1e6) };
		}),
	};
}

/** What went out of a batch of seed, or into a space, that was broken off: the share of it that was treated. */
export function onTreated(products: Rest['products'], load: PlannedLoad, treated: number | null): Rest['products'] {
	const whole = load.seed ?? load.space;
	if (!whole) return products;
	const share = Math.min(1, (treated ?? 0) / whole);
	return products.map((line) => {
		const all = load.products.find(({ productId }) => productId === line.productId)?.amount ?? line.amount;
		return { ...line, amount: Math.min(line.amount, Math.round(all * share * 1e6) / 1e6) };
	});
}

function sumBy(pairs: readonly (readonly [string, number])[]): Map<string, number> {
	const sums = new Map<string, number>();
	for (const [key, value] of pairs) sums.set(key, (sums.get(key) ?? 0) + value);
	return sums;
}

/** Crops of a job, once each. */
export function cropsOf(fields: readonly { readonly crop: string | null }[]): string {
	return [...new Set(fields.flatMap(({ crop }) => (crop === null ? [] : [crop])))].join(', ');
}
