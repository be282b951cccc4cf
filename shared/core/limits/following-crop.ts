import { addDays, daysBetween, writtenDate } from '../../basics/calendar.ts';
import { cropOfEppoCode } from '../crops/eppo-crop.ts';
import { type Check, figure, incomplete, type Limit, type NextCrop, type Outcome } from './limit.ts';
import { waitOf } from './time-limits.ts';

/** What a label keeps off the ground after a treatment. */
export type SowingWait = {
	/** Crops it speaks of, by name or EPPO code; empty: any. */
	readonly crops: readonly string[];
	/** The first day they may be sown, the day of the treatment being day 0; null: they may not be the next crop. */
	readonly from: string | null;
};

/** The wait that begins with a treatment on a day; null where the limit is another one, or says nothing. */
export function sowingWait(limit: Limit, treatedOn: string): SowingWait | null {
	const { kind, crops = [] } = limit;
	const days = waitOf(limit);
	if (kind !== 'followingCrop' || (days === undefined && crops.length === 0)) return null;
	return { crops, from: days === undefined ? null : addDays(treatedOn, days) };
}

/**
 * Is a crop that follows sown before its time? One without a date is, where it may not follow at all. A label's
 * `oilseed rape` speaks of winter oilseed rape too.
 */
export function isTooEarly({ crops, from }: SowingWait, { names, sownOn }: NextCrop): boolean {
	const meant = crops.length === 0 || crops.some((crop) => names.some((name) => isOneOf(name, crop)));
	return meant && (from === null || (sownOn !== null && sownOn < from));
}

/** Is a crop sown after a treatment? Without its date it is, where it is of a later season. */
export function comesAfter(
	crop: { readonly season: number; readonly sownOn: string | null },
	treated: { readonly season: number; readonly date: string },
): boolean {
	return crop.sownOn === null ? crop.season > treated.season : crop.sownOn > treated.date;
}

function isOneOf(name: string, crop: string): boolean {
	return name.toLowerCase().includes(crop.trim().toLowerCase());
}

/** `No winter oilseed rape is to be sown before 12 May 2027.` */
export function sowingWords({ crops, from }: SowingWait): string {
	const named =
		crops.length === 0 ? 'crop' : crops.map((crop) => cropOfEppoCode(crop)?.toLowerCase() ?? crop).join(' or ');
	return from === null
		? `${named} is not to be the next crop.`
		: `No ${named} is to be sown before ${writtenDate(from)}.`;
}

/**
 * Days until another crop may be sown, held against those known to follow. Where none is known it is a wait, told with the
 * job and kept by the people there. One sown too early warns: a date of sowing can still be changed.
 */
export function followingCrop({ limit, application }: Check): Outcome {
	const { date, ground } = application;
	const wait = sowingWait(limit, date);
	const days = waitOf(limit);
	if (wait === null) return incomplete(limit, 'days');
	const known = { limit: days ?? wait.crops.join(', '), unit: days === undefined ? null : 'days' };
	const rule = sowingWords(wait);
	const next = wait.from === null ? (ground.next ?? []).slice(0, 1) : (ground.next ?? []);
	const early = next.find((crop) => isTooEarly(wait, crop));
	if (early) {
		const sown = early.sownOn === null ? '' : `, sown ${figure(daysBetween(date, early.sownOn))} days later,`;
		const value =
			early.sownOn === null || days === undefined ? (early.names.at(-1) ?? '') : daysBetween(date, early.sownOn);
		return { ...known, verdict: 'warn', value, say: `${early.names.at(-1)}${sown} is entered to follow. ${rule}` };
	}
	const [first] = next;
	const settled = first !== undefined && (wait.from === null || first.sownOn !== null);
	if (settled || days === 0) return { ...known, verdict: 'ok', value: null, say: `What is to follow may. ${rule}` };
	return { ...known, verdict: 'warn', value: null, say: rule };
}
