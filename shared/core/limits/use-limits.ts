import { daysBetween, writtenDate } from '../../basics/calendar.ts';
import { writtenAs, writtenCrop } from '../crops/eppo-crop.ts';
import { type AppliedProduct, type Check, exceeds, figure, incomplete, type Outcome, sameName } from './limit.ts';
import { hasGroup } from './sum-limits.ts';
import { waitOf } from './time-limits.ts';

/** `TRZAW`, or of a group of crops `3CERC`. */
function isEppoCode(designation: string): boolean {
	return /^(?:[A-Z]{5}|\d[A-Z]{4,5})$/.test(designation.trim());
}

/**
 * Is the crop on the ground among those the label allows? By EPPO code, name or group code, whichever is known. A name
 * cannot be held against codes: then it is asked.
 */
export function crop({ limit, application }: Check): Outcome {
	const allowed = limit.crops ?? (limit.crop === undefined ? [] : [limit.crop]);
	if (allowed.length === 0) return incomplete(limit, 'crops');
	const grown = application.ground.crop;
	const known = { limit: allowed.join(', '), value: grown[0] ?? null, unit: null };
	const onLabel = allowed.map(writtenCrop).join(', ');
	if (grown.length === 0) {
		return { ...known, verdict: 'ask', say: `The label allows ${onLabel}. Which crop is it?` };
	}
	const found = allowed.some((name) => grown.some((designation) => sameName(designation, name)));
	const crop = writtenAs(grown);
	if (!found && allowed.some(isEppoCode) && !grown.some(isEppoCode)) {
		const say = `The label allows ${onLabel}; ${crop} has no EPPO code on the books. Is it one of them? Its code, entered with the crop of the field, answers it.`;
		return { ...known, verdict: 'ask', say };
	}
	const say = found ? `${crop} is on the label.` : `${crop} is not on the label, which allows ${onLabel}.`;
	return { ...known, verdict: found ? 'ok' : 'block', say };
}

/** Dose of one application: more than the maximum blocks, less than the least that the label gives warns. */
export function singleDose({ limit, application, product }: Check): Outcome {
	if (product === null) return incomplete(limit, 'product');
	const { min, max } = limit;
	if (min === undefined && max === undefined) return incomplete(limit, 'maximum');
	const onSeed = application.products.find(({ productId }) => productId === product.productId)?.seedDose;
	if (onSeed) return between({ value: onSeed.amount, min, max, unit: onSeed.unit, what: 'dose', belowIs: 'warn' });
	const same = application.products.filter(({ productId }) => productId === product.productId);
	const value = same.reduce((sum, { dosePerHa }) => sum + dosePerHa, 0);
	return between({ value, min, max, unit: `${product.unit}/ha`, what: 'dose', belowIs: 'warn' });
}

/** Spray volume within the label's. */
export function sprayVolume({ limit, application }: Check): Outcome {
	const { min, max } = limit;
	if (min === undefined && max === undefined) return incomplete(limit, 'litres');
	const value = application.sprayVolumeLPerHa;
	if (value === null) {
		return {
			verdict: 'ask',
			limit: max ?? min ?? null,
			value,
			unit: 'L/ha',
			say: 'The label limits the spray volume. How much is it?',
		};
	}
	return between({ value, min, max, unit: 'L/ha', what: 'spray volume', belowIs: 'block' });
}

/** A partner that must not be in the same mix, nor, where the label gives days, on the same ground within them. */
export function mixPartner({ limit, application, product }: Check): Outcome {
	const { partner } = limit;
	if (partner === undefined) return incomplete(limit, 'partner');
	const known = { limit: partner, unit: null };
	const matches = (applied: AppliedProduct) => applied.productId !== product?.productId && isPartner(applied, partner);
	const inMix = application.products.find(matches);
	if (inMix !== undefined) {
		return {
			...known,
			verdict: 'block',
			value: inMix.name,
			say: `${inMix.name} must not be in the same mix (${partner}).`,
		};
	}
	const days = waitOf(limit) ?? 0;
	const near = application.history.filter(
		(treatment) =>
			treatment.overlap !== 'no' &&
			matches(treatment) &&
			Math.abs(daysBetween(treatment.date, application.date)) < days,
	);
	const [first] = near;
	if (first === undefined) return { ...known, verdict: 'ok', value: null, say: `${partner} is not in the mix.` };
	const say = `${first.name} on ${writtenDate(first.date)} is less than ${figure(days)} days away (${partner}).`;
	const verdict = near.some(({ overlap }) => overlap === 'yes') ? 'block' : 'ask';
	return { ...known, verdict, value: first.name, records: near.map(({ recordId }) => recordId), say };
}

function isPartner(applied: AppliedProduct, partner: string): boolean {
	const named = sameName(applied.name, partner) || applied.productId === partner;
	return named || hasGroup(applied, partner) || applied.actives.some(({ substance }) => sameName(substance, partner));
}

function between(check: {
	readonly value: number;
	readonly min: number | undefined;
	readonly max: number | undefined;
	readonly unit: string;
	readonly what: string;
	readonly belowIs: 'warn' | 'block';
}): Outcome {
	const { value, min, max, unit, what, belowIs } = check;
	const below = min !== undefined && exceeds(min, value);
	const above = max !== undefined && exceeds(value, max);
	const limit = (below ? min : (max ?? min)) ?? null;
	const range = `${min === undefined ? '' : `${figure(min)}–`}${max === undefined ? '' : figure(max)}`;
	const say = `The ${what} is ${figure(value)} ${unit}; the label allows ${range} ${unit}.`;
	return { verdict: above ? 'block' : below ? belowIs : 'ok', limit, value, unit, say };
}
