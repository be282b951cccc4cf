import { type Limit, speaksOfCrop } from './limit.ts';
import { waitOf } from './time-limits.ts';

/** What a label asks to wait for after a treatment; null: nothing is on the books. */
export type Waits = {
	readonly reentryH: number | null;
	readonly livestockDays: number | null;
	readonly harvestDays: number | null;
	readonly interval: { readonly days: number; readonly of: string | null } | null;
};

/**
 * The waiting times that hold on a crop: of several of one kind the longest. A limit for another crop says nothing; with
 * the crop unknown it counts. `interval.of` is the substance or group the interval is for, null for the product itself.
 * Source: several products on one ground, the longest interval counts, 40 CFR 170 (from memory).
 */
export function standingWaits(limits: readonly Limit[], crop: readonly string[]): Waits {
	const held = limits.filter((limit) => speaksOfCrop(limit, crop));
	const longest = (kind: Limit['kind']) =>
		held
			.filter((limit) => limit.kind === kind)
			.flatMap((limit) => {
				const wait = waitOf(limit);
				return wait === undefined ? [] : [{ wait, of: limit.substance ?? limit.group ?? null }];
			})
			.sort((a, b) => b.wait - a.wait)[0];
	const interval = longest('interval');
	return {
		reentryH: longest('reentry')?.wait ?? null,
		livestockDays: longest('livestock')?.wait ?? null,
		harvestDays: longest('harvestInterval')?.wait ?? null,
		interval: interval ? { days: interval.wait, of: interval.of } : null,
	};
}
