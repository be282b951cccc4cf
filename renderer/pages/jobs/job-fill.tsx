import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { SLURRY_ORDER } from '../../../shared/core/filling/slurry-order.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { capital, count, figure } from '../../format.ts';
import {
	applicatorFillWords,
	carrierWords,
	heldWords,
	isCarriedOn,
	meteredVolumes,
	slurryWords,
} from '../../held-words.ts';
import { poursOf, pourWords, underName } from '../../paper/card-words.ts';
import { withDryOunces } from '../../paper/us-words.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { WarningList } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import { FillStrip } from '../../pictures/fill-strip.tsx';
import { type Units, useUnits } from '../../units.ts';
import { type FillWords, fillWords } from './job-words.ts';
import { LimitFindings } from './limit-findings.tsx';

/** How the chosen load is filled: in words, minute by minute, and what goes in in which order. */
export function JobFill({ card, brokenOff }: { readonly card: LoadCard; readonly brokenOff: FillWords | null }) {
	const farmUnits = useUnits();
	const words = brokenOff ?? fillWords(card, farmUnits);
	return (
		<>
			{card.kind !== 'spray in water' && !words && !card.fillProblem ? (
				<>
					<p className="say">{farmUnits.say(plainFill(card))}</p>
					<p className="quiet">{underPlainFill(card, farmUnits)}</p>
					{applicatorFillWords(card.plan).map((words) => (
						<p key={words}>{farmUnits.say(words)}</p>
					))}
				</>
			) : words ? (
				<>
					<p className="say">{words.say}</p>
					<p className="quiet">{words.under}</p>
				</>
			) : (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<div>No fill could be worked out: {farmUnits.say(card.fillProblem ?? '')}</div>
				</div>
			)}
			{card.carrier && <p className="quiet">{farmUnits.say(carrierWords(card.carrier))}</p>}
			<WarningList warnings={card.fill?.warnings ?? []} />
			{card.fill && !brokenOff && card.order.length > 0 && (
				<>
					<h2>Filling, minute by minute</h2>
					<FillStrip
						load={meteredVolumes(card.plan)}
						fill={card.fill}
						products={card.order}
						startL={card.order.length > 0 ? card.startL : null}
					/>
				</>
			)}
			{card.order.length > 0 && !isCarriedOn(card.plan) && !(brokenOff && needsTank(card.kind)) && (
				<MixOrder card={card} />
			)}
			<LimitFindings
				limits={card.limits.filter(({ verdict }) => verdict !== 'ok')}
				fields={card.plan.ground}
				spaces={card.plan.spaces}
			/>
			<Cautions lines={labelLines(card)} />
		</>
	);
}

function MixOrder({ card }: { readonly card: LoadCard }) {
	const farmUnits = withDryOunces(useUnits());
	return (
		<>
			<h2>{orderHeading(card)}</h2>
			{card.kind === 'seed treatment' && card.order.length > 1 && <p className="quiet">{SLURRY_ORDER}</p>}
			{card.orderProblem && (
				<div className="notice" role="status">
					<span className="word">Look</span>
					<div>No order could be given: {card.orderProblem}</div>
				</div>
			)}
			<Table
				caption={orderHeading(card)}
				rows={card.order}
				rowKey={(row) => row.productId}
				columns={[
					{
						key: 'step',
						head: <span className="visually-hidden">Step</span>,
						cell: (row) => (card.orderProblem || card.order.length === 1 ? '' : row.step),
					},
					{
						key: 'name',
						head: 'Product',
						cell: (row) => (
							<>
								{row.name} <span className="quiet">{underName(row, farmUnits)}</span>
								{row.why !== '' && (
									<span className="second">
										{row.why} ({row.source})
									</span>
								)}
							</>
						),
					},
					{
						key: 'pours',
						head: 'Containers',
						cell: (row) =>
							poursOf(row, farmUnits).map((pour) => (
								<span key={pourWords(pour)} className="pour">
									{pourWords(pour)}
								</span>
							)),
					},
					{
						key: 'amount',
						head: 'amount',
						number: true,
						cell: (row) => <b>{farmUnits.amount(row.amount, row.unit)}</b>,
					},
				]}
			/>
		</>
	);
}

function orderHeading({ kind, plan, order }: LoadCard): string {
	if (kind === 'granules') return 'Into the hopper';
	if (kind === 'neat liquid') return 'Into the tank';
	const where =
		kind === 'closed space'
			? 'Into the applicator'
			: kind !== 'seed treatment'
				? 'Into the tank'
				: plan.slurryL === undefined
					? 'Onto the seed'
					: 'Into the slurry';
	const inOrder = kind === 'spray in water' || kind === 'spray in liquid fertiliser' || order.length > 1;
	return inOrder ? `${where}, in this order` : where;
}

/** A load for which nothing is mixed. */
function plainFill({ load, kind, plan, seed, indoors }: LoadCard): string {
	const { one, unit, held } = heldWords(plan, seed?.unit);
	const [space, ...others] = indoors?.spaces ?? [];
	if (space && others.length > 0) return `${count(others.length + 1, 'closed space')}: ${held(plan)} ${unit}.`;
	if (space) return `${space.name}, ${space.crop ?? `empty ${space.kind}`}: ${held(plan)} ${unit}.`;
	const what = kind === 'seed treatment' ? ' of seed' : '';
	return `${capital(one)} ${load}: ${held(plan)} ${unit}${what}.`;
}

function underPlainFill({ kind, plan, capacityL, keepOut }: LoadCard, farmUnits: Units): string {
	if (kind === 'granules') {
		const before = plan.inHopperKg
			? ` ${figure(plan.inHopperKg, Number.isInteger(plan.inHopperKg) ? 0 : 1)} kg of it are in the hopper already.`
			: '';
		return `Enough for ${farmUnits.area(plan.areaHa)}.${farmUnits.say(before)}`;
	}
	if (kind === 'closed space') {
		const mix = `Made up to ${figure(plan.totalL, 1)} L with ${figure(plan.waterL, 1)} L of water. `;
		return `${plan.totalL > 0 ? farmUnits.say(mix) : ''}${keepOut ?? ''}`;
	}
	if (kind === 'seed treatment') {
		const slurry = farmUnits.say(slurryWords(plan));
		return slurry === ''
			? 'Weigh the seed, measure the product; stir what settles.'
			: `${slurry}. Weigh the seed; water first, then the products; stir what settles.`;
	}
	return `No water. Enough for ${farmUnits.area(plan.areaHa)}; the tank holds ${farmUnits.volume(capacityL)}.`;
}

/** Protective equipment and cautions from the labels of this mix, once each. */
function labelLines({ order }: LoadCard): string[] {
	const texts = order.flatMap(({ name, protection, cautions }) => [
		...(protection?.trim() ? [{ name, text: protection.trim() }] : []),
		...(cautions?.trim() ? [{ name, text: cautions.trim() }] : []),
	]);
	return [...Map.groupBy(texts, ({ text }) => text)].map(
		([text, from]) => `${from.map(({ name }) => name).join(', ')}: ${text}`,
	);
}
