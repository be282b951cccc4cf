import { addDays, daysBetween, writtenDate } from '../../basics/calendar.ts';
import { type Check, figure, incomplete, type Outcome, type PlannedApplication, type Treatment } from './limit.ts';
import {
	doseClassOf,
	isShort,
	isWideFromWater,
	lacksEquipment,
	largestSingleDose,
	type MarginKept,
	notAssessed,
	protectsWater,
} from './margin-kept.ts';
import { clock, waitOf } from './time-limits.ts';

const GUIDE = 'Defra PB5621';
/** No second treatment after a reduced dose that made the distance smaller. Source: Defra PB5621. */
const WAIT_H = 48;
/** So many days on it may still keep a second one off: it may have ended after midnight. */
export const DAYS_OF_WAIT = WAIT_H / 24 + 1;

/**
 * Metres kept from the protected margin, from the top of the bank. What was assessed margin by margin counts first, then the
 * distance said for the job or the strip on the books; where there is none it is asked.
 *
 * Less than the label's metres blocks, but where the label lets an assessment reduce them: then it is asked until one
 * stands. How far they may be reduced is in no table here: the assessment is the person's own, only the class of the dose is
 * reckoned. Within 48 h of a reduced dose that made the distance smaller, a second one warns. Over 5 m the equipment used
 * within 30 m of the bank is asked about.
 */
export function buffer(check: Check): Outcome {
	const found = withEquipment(check, distance(check));
	const again = afterReduced(check);
	if (again === null) return found;
	const verdict = found.verdict === 'block' ? 'block' : 'warn';
	return { ...found, verdict, say: `${again.say} ${found.say}`, records: again.records ?? [] };
}

function distance(check: Check): Outcome {
	const { limit, application } = check;
	const metres = waitOf(limit);
	if (metres === undefined) return incomplete(limit, 'metres');
	const { bufferM, margins = [] } = application.ground;
	const water = protectsWater(limit);
	const own = margins.filter((row) => water === (row.water !== 'none') && row.keptM !== undefined);
	const value = own.length > 0 ? Math.min(...own.map(({ keptM = 0 }) => keptM)) : bufferM;
	const known = { limit: metres, value, unit: 'm' };
	if (metres === 0) return { ...known, verdict: 'ok', say: 'The label asks for no distance.' };
	if (water && margins.length > 0 && margins.every((row) => row.water === 'none')) {
		return { ...known, verdict: 'ok', say: `${figure(metres)} m to water: no water beside it, as entered.` };
	}
	const reducible = limit.reducible === true;
	if (value === null) {
		const less = reducible ? ` The label lets an assessment reduce it.${classWords(check)}` : '';
		const say = `Keep ${figure(metres)} m from ${marginsOf(limit.margin)}. Is there ${water ? 'any' : 'one'}, and is the strip kept?${less}`;
		return { ...known, verdict: 'ask', say };
	}
	const say = `A strip of ${figure(value)} m is kept, ${figure(metres)} m are needed.`;
	if (value >= metres) return { ...known, verdict: 'ok', say };
	if (reducible) return { ...known, ...reduced(check, { own, metres, say }) };
	const short = own.filter((row) => isShort(row, metres));
	if (water && short.length > 0 && short.every((row) => row.water === 'dry')) {
		const dry = 'It was dry: some labels then ask for less (in Great Britain 1 m, from memory). Does this one?';
		return { ...known, verdict: 'ask', say: `${say} ${dry}` };
	}
	const not = limit.reducible === false ? ' The label does not let it be reduced.' : '';
	return { ...known, verdict: 'block', say: `${say}${not}` };
}

/** Known from memory alone: it is said with the distance, and warns where it was answered otherwise, but never blocks. */
function withEquipment({ limit, application }: Check, found: Outcome): Outcome {
	if (!isWideFromWater(limit)) return found;
	const asked = 'Over 5 m some labels ask for equipment with at least 75 % less drift within 30 m of the bank';
	if (found.value === null && found.verdict === 'ask') {
		return { ...found, say: `${found.say} ${asked} (in Great Britain, from memory).` };
	}
	const without = (application.ground.margins ?? []).filter(lacksEquipment).map(({ margin }) => margin);
	if (without.length === 0) return found;
	const say = `${found.say} ${asked} (in Great Britain, from memory): not used at ${without.join(' and ')}.`;
	return { ...found, verdict: found.verdict === 'block' ? 'block' : 'warn', say };
}

type Short = { readonly own: readonly MarginKept[]; readonly metres: number; readonly say: string };

/** Less than the label's metres, where it lets an assessment reduce them. */
function reduced(check: Check, { own, metres, say }: Short): Pick<Outcome, 'verdict' | 'say'> {
	const water = protectsWater(check.limit);
	const short = own.filter(({ keptM = 0 }) => keptM < metres);
	if (short.length === 0) {
		const enter = 'The label lets an assessment reduce them: enter it with the log.';
		return { verdict: 'ask', say: `${say} ${enter}${classWords(check)}` };
	}
	for (const row of water ? short : []) {
		const lacking = notAssessed(row);
		if (lacking.length > 0) {
			return { verdict: 'ask', say: `${say} The assessment of ${row.margin} lacks ${lacking.join(' and ')}.` };
		}
	}
	const rows = short.map(({ margin, by }) => `${margin}, by ${by}`).join('; ');
	return { verdict: 'ok', say: `${say} The label lets an assessment reduce them: ${rows}.${classWords(check)}` };
}

/** Only a quarter dose has a published distance for every width and nozzle; for the others the table is to be looked up. */
function classWords({ limit, product, application }: Check): string {
	if (product === null || !protectsWater(limit)) return '';
	const largest = largestSingleDose(product.limits);
	if (largest === null) return ' The largest dose of the label is not on the books, so not the class of the dose.';
	const dose = application.products
		.filter(({ productId }) => productId === product.productId)
		.reduce((sum, { dosePerHa }) => sum + dosePerHa, 0);
	const of = doseClassOf(dose, largest);
	const next =
		of === 'quarter'
			? `1 m with any nozzle and at any width (${GUIDE})`
			: `look up the distance for it, the width of the water and the nozzles`;
	return ` ${figure(dose)} of at most ${figure(largest)} ${product.unit}/ha is the ${of} dose class: ${next}.`;
}

function marginsOf(margin: Check['limit']['margin']): string {
	if (margin === 'hedge') return 'hedges';
	return margin === 'other' ? 'protected margins' : 'water';
}

/** The last treatment of this product there that was given at a reduced dose for the sake of the distance, if too near. */
function afterReduced({ limit, application, product }: Check): Pick<Outcome, 'say' | 'records'> | null {
	if (product === null || !protectsWater(limit)) return null;
	const near = application.history.filter(
		(treatment) =>
			treatment.productId === product.productId &&
			treatment.overlap !== 'no' &&
			treatment.shrunkUntil !== undefined &&
			isWithin(application, treatment, treatment.shrunkUntil),
	);
	const last = near.at(-1);
	if (last?.shrunkUntil === undefined) return null;
	const days = Math.floor((last.shrunkUntil + WAIT_H) / 24);
	const on = `${writtenDate(addDays(last.date, days))} ${clock(last.shrunkUntil + WAIT_H - days * 24)}`;
	const say = `A reduced dose made the distance smaller on ${writtenDate(last.date)}: no second treatment there within ${WAIT_H} h, so not before ${on} (${GUIDE}).`;
	return { say, records: near.map(({ recordId }) => recordId) };
}

/** A plan may begin at any hour of its day: it is near where its first hour is. */
function isWithin({ date, begun }: PlannedApplication, treatment: Treatment, endedAt: number): boolean {
	const days = daysBetween(treatment.date, date);
	if (begun === undefined || begun.length === 0) return days >= 0 && days * 24 - endedAt < WAIT_H;
	return begun.some(({ hour }) => {
		const hours = days * 24 + hour - endedAt;
		return hours >= 0 && hours < WAIT_H;
	});
}
