import type { Incident } from '../../../shared/contract/fills.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import type { FillStep } from '../../../shared/core/filling/fill-steps.ts';
import type { FillContainer } from '../../../shared/core/filling/handling.ts';
import { saidStop } from '../../../shared/core/filling/stop-length.ts';
import { bareAmount, count, duration, figure, timeOfDay } from '../../format.ts';
import { type Units, unitsIn } from '../../units.ts';

/** `5 L`, `0.47 kg`: as it stands on the container or is measured; of a US farm as its card and its shelf name it. */
export function sizeOf({ size, unit }: Pick<FillContainer, 'size' | 'unit'>, { say }: Units = unitsIn.metric): string {
	return say(`${Number.isInteger(size) ? figure(size) : bareAmount(size)} ${unit}`);
}

/** What is in the hand: a full container, the opened one, a measured part. */
export function kindOf(container: FillContainer, card: LoadCard): string {
	const line = card.order.find(({ name }) => name === container.product);
	if (line?.fullPacks.some(({ size }) => size === container.size)) return 'full container';
	if (line && line.fromOpened > 0 && container.size === line.fromOpened) return 'empty the opened one';
	return 'to measure';
}

/** `Undo: container 6 done` */
export function undoWords(last: FillStep | undefined, thing = 'container'): string {
	if (!last) return 'Undo';
	return `Undo: ${last.what === 'container done' ? `${thing} ${last.container} done` : last.what}`;
}

/** What stands over the big figure of the water. */
export function waterHead({ stop, state, openInS, meterL }: FillNow): string {
	if (state.openedAt === null) return 'Shut the inlet at';
	if (!state.inletOpen) {
		if (openInS === null) return 'The inlet is shut';
		return openInS > 0 ? 'Open the inlet again in' : 'Open the inlet';
	}
	if (stop?.call === 'now') return meterL > stop.atMeterL + 1 ? 'Stop now: past the mark' : 'Stop now';
	return stop?.call === 'soon' ? 'Hand to the valve: shut at' : 'Shut the inlet at';
}

/** What stands under it. */
export function waterUnder(
	{ stop, state, openInS, meterL, owedRinses }: FillNow,
	{ volume }: Units,
): readonly string[] {
	if (state.openedAt === null) {
		return stop?.forS ? [`then pour for ${duration(saidStop(stop.forS))} with the inlet shut`] : ['no stop on the way'];
	}
	if (!state.inletOpen) {
		const rinses =
			owedRinses > 0
				? [`After that, ${count(owedRinses, 'container')} emptied meanwhile: last rinse with clean water.`]
				: [];
		const wait = openInS !== null && openInS > 0 ? ['Go on pouring; rinse with dilute mix meanwhile.'] : [];
		return [...wait, ...rinses, `Meter at about ${volume(meterL)}.`];
	}
	const near = `Meter now at about ${volume(meterL)}`;
	if (!stop) return [`${near}.`];
	const then = stop.forS === null ? 'the last stop' : `then shut for ${duration(saidStop(stop.forS))}`;
	return [stop.inS >= 1 ? `${near}, ${duration(stop.inS)} to go; ${then}.` : `${near}; ${then}.`];
}

/** Further than this from what it should be, and further than this part of it, a reading is looked at twice. Assumption. */
const FAR_L = 100;
const FAR_PART = 0.15;

/** A meter reading that is far from each figure it might be near: more likely misread than true. */
export function farFromClock(meteredL: number | null, near: readonly number[]): boolean {
	if (meteredL === null) return false;
	return near.every((litresL) => Math.abs(meteredL - litresL) > Math.max(FAR_L, FAR_PART * litresL));
}

/** `10:42 spill: 0.75 L Quillon 480, into the tray; told the farm office` */
export function incidentWords(incident: Incident, { amount, volume }: Units): string {
	const { kind, happenedAt, product, unit, mixL, wentTo, done, told } = incident;
	const lost = incident.amount === null || unit === null ? null : `${amount(incident.amount, unit)} ${product}`;
	const parts = [lost, mixL === null ? null : `${volume(mixL)} of mix or water`, wentTo, done, told && `told ${told}`];
	const said = parts.filter((part) => part !== null && part !== '');
	return `${timeOfDay(happenedAt)} ${kind}${said.length > 0 ? `: ${said.join('; ')}` : ''}`;
}
