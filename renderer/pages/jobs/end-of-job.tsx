import type { EndOfJob } from '../../../shared/contract/jobs-end.ts';
import { capital } from '../../format.ts';
import { roomWords, roundedUp } from './washings-words.ts';
import './washings.css';
import { type Units, useUnits } from '../../units.ts';

/** What to expect in the tank when the last load is sprayed, and the usual ways out. Never the rest stretched with water. */
export function AtTheEnd({
	end,
	rest,
	opened = false,
}: {
	readonly end: EndOfJob | null;
	/** What is in the tank. */
	readonly rest: 'mix' | 'product';
	readonly opened?: boolean;
}) {
	const farmUnits = useUnits();
	if (!end) return null;
	return (
		<section aria-label="At the end of the job" className="at-the-end">
			<h2>At the end of the job</h2>
			<p>{rangeWords(end, farmUnits)}</p>
			<p className="quiet small">
				95 of 100 such jobs end within it. Standard errors: area {farmUnits.volume(end.sigma.areaL)}, meter{' '}
				{farmUnits.volume(end.sigma.meterL)}, measuring {farmUnits.volume(end.sigma.stepL)}.
				{end.unsprayableL > 0 && ` The ${farmUnits.volume(end.unsprayableL)} in sump and lines come on top.`}
			</p>
			<details className="more" open={opened}>
				<summary>The usual ways out</summary>
				<ul className="plain-list">
					{waysOut(end, rest, farmUnits).map(([name, words]) => (
						<li key={name}>
							<span>
								<b>{name}.</b> {words}
								{name === 'Washings' && <FieldByField rooms={end.washings.fields ?? []} />}
							</span>
						</li>
					))}
				</ul>
			</details>
		</section>
	);
}

/** Which fields of the job have room for the washings, and on how much ground. */
function FieldByField({ rooms }: { readonly rooms: NonNullable<EndOfJob['washings']['fields']> }) {
	const farmUnits = useUnits();
	if (rooms.length === 0) return null;
	const alike = Map.groupBy(rooms, (room) => roomWords(room, room.sprayedHa, farmUnits));
	return (
		<ul className="room-lines">
			{[...alike].map(([words, fields]) => (
				<li key={words}>
					{fields.map(({ field }) => field).join(', ')}: {words}
				</li>
			))}
		</ul>
	);
}

/** `Between 72 L short (0.48 ha to go) and 72 L left.` */
export function rangeWords({ expectedL, lowL, highL, shortHa }: EndOfJob, farmUnits: Units): string {
	const low =
		lowL < 0 ? `${whole(-lowL, farmUnits)} short (${farmUnits.area(shortHa)} to go)` : `${whole(lowL, farmUnits)} left`;
	const high = highL < 0 ? `${whole(-highL, farmUnits)} short` : `${whole(highL, farmUnits)} left`;
	const middle =
		Math.abs(expectedL) < 1
			? ''
			: ` By the meter so far: ${whole(Math.abs(expectedL), farmUnits)} ${expectedL < 0 ? 'short' : 'left'}.`;
	return `Between ${low} and ${high}.${middle}`;
}

function waysOut(
	{ smallerLast, topUp, washings, highL }: EndOfJob,
	rest: 'mix' | 'product',
	farmUnits: Units,
): (readonly [string, string])[] {
	return [
		...(smallerLast
			? [
					[
						'A smaller last load',
						`Make load ${smallerLast.load} up to ${whole(smallerLast.smallerL, farmUnits)} instead of ${farmUnits.litres(Math.round(smallerLast.totalL))}: then nothing should be left, and what is short gets a top-up.`,
					] as const,
				]
			: []),
		[
			'Hold back',
			'Spray all but the last load, read the hectares still to go off the counter, and make the last one up for those.',
		],
		...(topUp
			? [
					[
						'A top-up at the same dose',
						`Where it runs short: for ${farmUnits.area(topUp.areaHa)} ${topUpWords(topUp, rest, farmUnits)}. Never stretch the rest with water: that is a lower dose.`,
					] as const,
				]
			: []),
		...(highL > 0
			? [
					[
						'Carry it on',
						`${capital(rest)} left before the last load goes into the next load of this job, at the same dose.`,
					] as const,
				]
			: []),
		...(washings.leftL > 0 ? [['Washings', washingsWords(washings, rest, farmUnits)] as const] : []),
	];
}

/** `110 L of mix, that is 109 L of water and 0.7 L Flow`; nothing is said of water where fertiliser fills the tank. */
function topUpWords(
	{ mixL, waterL, carrier, products }: NonNullable<EndOfJob['topUp']>,
	rest: 'mix' | 'product',
	farmUnits: Units,
): string {
	if (rest === 'product')
		return products.map((line) => `${farmUnits.amount(line.amount, line.unit)} ${line.name}`).join(', ');
	const liquids = [
		...(waterL >= 0.5 ? [`${farmUnits.volume(waterL)} of water`] : []),
		...(carrier ? [`${farmUnits.volume(carrier.litres)} of ${carrier.name}`] : []),
	];
	const poured = products.map((line) => `${farmUnits.amount(line.amount, line.unit)} ${line.name}`).join(', ');
	return `${farmUnits.volume(mixL)} of mix, that is ${[...liquids, poured].join(' and ')}`;
}

function washingsWords(
	{ leftL, onSprayedHa, limitedBy, keptBackHa, unknown }: EndOfJob['washings'],
	rest: 'mix' | 'product',
	farmUnits: Units,
): string {
	const held = `Up to ${whole(leftL, farmUnits)} of ${rest} to wash out, only onto ground the labels allow.`;
	const open = unknown.length > 0 ? ` No maximum dose is on the books for ${unknown.join(', ')}: see the label.` : '';
	const keep = `${farmUnits.area(keptBackHa)} kept back for them`;
	if (onSprayedHa === null) {
		return limitedBy === null
			? `${held}${open} Without headroom they need ${keep}.`
			: `${held} ${limitedBy} has no dose to spare on sprayed ground: they need ${keep}.${open}`;
	}
	return `${held} On sprayed ground at least ${farmUnits.area(roundedUp(onSprayedHa))} (${limitedBy} within its label), or ${keep}.${open}`;
}

function whole(value: number, farmUnits: Units): string {
	return farmUnits.volume(Math.round(value));
}
