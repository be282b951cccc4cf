import type { Begun, Check, Outcome } from './limit.ts';
import { clock, hoursOf, stageCode } from './time-limits.ts';

/** The answer that nothing was in flower, as records keep it. */
export const NOTHING_IN_FLOWER = 'nothing';
/** Records from before there was an answer to choose hold it as somebody typed it. */
const TYPED_NOTHING = /^(nothing|none|no|nil)( in flower)?\.?$/i;

/** Flowering in the two-digit scale: BBCH Monograph, 2018 (from memory), 61 its beginning, 69 its end. */
const [FLOWERING_BEGINS, FLOWERING_ENDS] = [61, 69];

/**
 * Not where the crop or weeds are in flower; with hours, where something is, it may only begin between them.
 *
 * Within the hours nothing is asked. What somebody saw counts; where nobody said, a growth stage of flowering says it of the
 * crop. Of weeds no stage says anything, so at any other stage it is asked. An answer that contradicts the stage asks too.
 * Of several loads the worst counts.
 */
export function flowering(check: Check): Outcome {
	const { begun = [] } = check.application;
	const outcomes = begun.length === 0 ? [outcomeOf(check, null)] : begun.map((each) => outcomeOf(check, each));
	const worst = (['block', 'ask'] as const).flatMap((verdict) => outcomes.find((one) => one.verdict === verdict) ?? []);
	return worst[0] ?? (outcomes[0] as Outcome);
}

function outcomeOf({ limit, application: { ground } }: Check, begun: Begun | null): Outcome {
	const startHour = begun?.hour ?? null;
	const hours = hoursOf(limit);
	const seen = begun?.inFlower?.trim() || null;
	const stage = floweringStage(ground.growthStage);
	const nothing = seen !== null && saysNothing(seen);
	const known = {
		limit: hours === null ? 'nothing in flower' : hours.range,
		value: seen ?? (stage === null ? null : `BBCH ${stage}`),
		unit: null,
	};
	if (hours !== null && startHour !== null && hours.hold(startHour)) {
		const say = `It begins at ${clock(startHour)}; where crop or weeds are in flower, use is allowed ${hours.words}.`;
		return { ...known, verdict: 'ok', say };
	}
	if (nothing && stage !== null) {
		const say = `Nothing is said to be in flower, and the growth stage is ${stage}, at which the crop flowers. Which of them is right?`;
		return { ...known, verdict: 'ask', say };
	}
	if (nothing) return { ...known, verdict: 'ok', say: 'Nothing was in flower.' };
	const only = hours === null ? '' : `, but ${hours.words}`;
	if (seen === null && stage === null) {
		const say = `Not where the crop or weeds are in flower${only}. Look first: what is in flower there?`;
		return { ...known, verdict: 'ask', say };
	}
	const what = seen === null ? `The crop is in flower (growth stage ${stage}).` : `In flower: ${seen}.`;
	if (hours === null) {
		return { ...known, verdict: 'block', say: `${what} Use is not allowed where the crop or weeds are in flower.` };
	}
	if (startHour === null) {
		return { ...known, verdict: 'ask', say: `${what} It may only begin ${hours.words}. When will it begin?` };
	}
	const say = `${what} It begins at ${clock(startHour)}; use is then allowed ${hours.words}.`;
	return { ...known, verdict: 'block', say };
}

/** Does an answer say that nothing was in flower? */
export function saysNothing(inFlower: string): boolean {
	return TYPED_NOTHING.test(inFlower.trim());
}

/** The stage where the crop flowers by it; three digits are another scale. */
function floweringStage(growthStage: string | number | null): string | null {
	const code = stageCode(growthStage);
	const flowers = code?.length === 2 && Number(code) >= FLOWERING_BEGINS && Number(code) <= FLOWERING_ENDS;
	return flowers ? code : null;
}
