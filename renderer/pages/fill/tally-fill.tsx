import { Button, TextInput } from '@mantine/core';
import { useEffect, useMemo, useState } from 'react';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { type Portion, type Tally, tallyOf, WATER } from '../../../shared/core/filling/tally.ts';
import { bareAmount, capital, clock, figure, formulationAfter } from '../../format.ts';
import { fillsInSpace, heldWords, quantityWords, smallAmount } from '../../held-words.ts';
import { withDryOunces } from '../../paper/us-words.ts';
import { EntryForm } from '../../parts/page.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { FillDone } from './fill-done.tsx';
import { sizeOf } from './fill-words.ts';
import type { FillSteps } from './use-fill-steps.ts';
import { useLitScreen, useNow, useYardKeys } from './use-yard.ts';
import { YardFoot } from './yard-foot.tsx';
import { YardHead } from './yard-top.tsx';

type Props = { readonly card: LoadCard; readonly portions: readonly Portion[]; readonly steps: FillSteps };

/** A fill without an inlet to watch: bags into a hopper, product onto a batch of seed, fertiliser into the tank. */
export function TallyFill({ card, portions, steps }: Props) {
	const now = useNow();
	const at = useMemo(() => tallyOf(portions, steps.steps, now), [portions, steps.steps, now]);
	const over = steps.logged !== null && steps.steps.length === 0;
	const running = at.state.begunAt !== null && !over;
	const units = withDryOunces(useUnits());
	const { one } = heldWords(card.plan, card.seed?.unit);
	const next = () => {
		if (!running) steps.note({ what: 'begun' });
		else if (at.next !== null) steps.note({ what: 'container done', container: at.next + 1 });
	};
	useYardKeys(over ? {} : { Space: next, U: steps.undo });
	useLitScreen(running);
	useEffect(() => {
		document.title = `Filling ${one} ${card.load} · Fillmark`;
	}, [card.load, one]);
	return (
		<>
			<YardHead card={card} title={`${capital(one)} ${card.load} of ${card.loads}`} holds={units.say(heldHere(card))}>
				{running && (
					<p className="yard-clock" role="timer" aria-label="Time since the fill was begun">
						{clock(at.elapsedS)}
					</p>
				)}
			</YardHead>
			{over && steps.logged ? (
				<FillDone card={card} fill={steps.logged} onAgain={() => steps.note({ what: 'started over' })} />
			) : (
				<div className="yard-body">
					<InHand card={card} portions={portions} at={at} onNext={next} />
					{at.next === null && running ? <LogTally card={card} /> : <Amounts card={card} at={at} />}
				</div>
			)}
			{!over && (
				<YardFoot
					card={card}
					containers={portions}
					at={{ done: at.state.done, next: at.next }}
					steps={steps}
					thing={thingOf(card)}
				/>
			)}
		</>
	);
}

function heldHere({ kind, plan, seed }: LoadCard): string {
	const { held, unit } = heldWords(plan, seed?.unit);
	const what = kind === 'granules' ? ' of granules' : kind === 'seed treatment' ? ' of seed' : '';
	return `${held(plan)} ${unit}${what}`;
}

function InHand(props: {
	readonly card: LoadCard;
	readonly portions: readonly Portion[];
	readonly at: Tally;
	readonly onNext: () => void;
}) {
	const units = withDryOunces(useUnits());
	const { card, portions, at } = props;
	const portion = at.next === null ? undefined : portions[at.next];
	const thing = thingOf(card);
	const head = capital(thing);
	if (!portion) {
		return (
			<section className="yard-panel" aria-label="Containers">
				<p className="yard-head">{head}s</p>
				<p className="yard-name">{portions.length === 1 ? 'It is in' : `All ${portions.length} are in`}</p>
				<p className="yard-under">{card.rinseRule}</p>
			</section>
		);
	}
	const line = card.order.find(({ name }) => name === portion.product);
	const begun = at.state.begunAt !== null;
	return (
		<section className="yard-panel" aria-label="Containers">
			<p className="yard-head" aria-live="polite">
				{card.plan.fills ? whichFill(portions, at.next) : `${head} ${(at.next ?? 0) + 1} of ${portions.length}`}
				<span className="yard-left">{at.left === 1 ? 'the last one' : `${at.left} left`}</span>
			</p>
			<p className="yard-name">
				{portion.product} <small>{formulationAfter(portion.product, line?.formulation ?? '')}</small>
			</p>
			<p className="yard-figure store">
				{told(card, portion, units)} <small>{portionWords(portion, line, thing)}</small>
			</p>
			<p className="yard-under">
				{thenWords(card, { portions, units }, at)}
				{line?.protection && <span className="yard-wear">{line.protection}</span>}
			</p>
			<button type="button" className="yard-press" onClick={props.onNext}>
				{begun ? `${head} is in` : 'Begin'} <kbd>Space</kbd>
			</button>
		</section>
	);
}

/** What is counted: bags, containers; of a slurry its parts, the water among them. */
function thingOf({ kind, plan }: LoadCard): 'bag' | 'container' | 'part' {
	if (plan.slurryL !== undefined || plan.fills) return 'part';
	return kind === 'granules' ? 'bag' : 'container';
}

/** What is in the hand: a full bag, the opened one, a measured part. */
function portionWords({ size }: Portion, line: LoadCard['order'][number] | undefined, thing: string): string {
	if (line?.fullPacks.some((pack) => pack.size === size)) return `full ${thing === 'part' ? 'container' : thing}`;
	return line && line.fromOpened > 0 && size === line.fromOpened ? 'empty the opened one' : 'to measure';
}

/** `Fill 2 of 4`: of a small tank that is filled several times; each begins with its water. */
function whichFill(portions: readonly Portion[], next: number | null): string {
	const begun = (all: readonly Portion[]) => all.filter(({ product }) => product === WATER).length;
	return `Fill ${Math.max(1, begun(portions.slice(0, (next ?? 0) + 1)))} of ${begun(portions)}`;
}

/** A portion as it stands on the container; in a small tank as it is measured out, in mL or g. */
function told({ plan }: LoadCard, portion: Pick<Portion, 'size' | 'unit'>, units: Units): string {
	if (!plan.fills || units.units !== 'metric') return sizeOf(portion, units);
	return portion.size < 1 ? smallAmount(portion.size, portion.unit) : `${plain(round(portion.size))} ${portion.unit}`;
}

function round(value: number): number {
	return Math.round(value * 100) / 100;
}

function thenWords(
	card: LoadCard,
	{ portions, units }: { readonly portions: readonly Portion[]; readonly units: Units },
	{ next, state }: Tally,
): string {
	const after = portions.find((_, index) => index > (next ?? 0) && !state.done.has(index + 1));
	if (!after) return 'Nothing after it.';
	return after.product === portions[next ?? 0]?.product
		? `Then ${told(card, after, units)} more of it.`
		: `Then ${told(card, after, units)} ${after.product}.`;
}

/** How much of each product is in, and of the seed or the hopper what it is for. */
function Amounts({ card, at }: { readonly card: LoadCard; readonly at: Tally }) {
	const units = withDryOunces(useUnits());
	const before = card.plan.inHopperKg;
	return (
		<section className="yard-panel" aria-label="What is in">
			<p className="yard-head">{insideWords[card.kind] ?? 'In the tank'}</p>
			{at.amounts.map(({ product, unit, done, all }) => (
				<div key={product}>
					<p className={at.amounts.length > 1 ? 'yard-figure tank' : 'yard-figure huge tank'}>
						{card.plan.fills || units.units !== 'metric' ? told(card, { size: done, unit }, units) : plain(done)}
						<small>
							of {told(card, { size: all, unit }, units)}
							{at.amounts.length > 1 && ` ${product}`}
						</small>
					</p>
					<div
						className="yard-gauge"
						role="img"
						aria-label={`${units.units === 'metric' ? plain(done) : told(card, { size: done, unit }, units)} of ${told(card, { size: all, unit }, units)} ${product} are in`}
					>
						<div className="level" style={{ width: `${((done / all) * 100).toFixed(2)}%` }} />
					</div>
				</div>
			))}
			<div className="yard-under">
				{before !== undefined && <p>{sizeOf({ size: before, unit: 'kg' }, units)} are in the hopper from before.</p>}
				{card.seed !== null && <p>For {units.say(heldHere(card))}, weighed.</p>}
				{card.indoors !== null && (
					<p>
						For {units.say(heldHere(card))}
						{card.plan.totalL > 0 && !card.plan.fills && units.say(`, with ${figure(card.plan.waterL, 1)} L of water`)}.
					</p>
				)}
				{(card.plan.spaces?.length ?? 0) > 1 &&
					card.plan.spaces?.map((space) => (
						<p key={space.spaceId}>
							<b>{space.name}</b> {units.say(fillsInSpace(space, card.plan.spaceUnit ?? 'm³') || heldIn(space, card))}
						</p>
					))}
			</div>
		</section>
	);
}

const insideWords: Readonly<Partial<Record<LoadCard['kind'], string>>> = {
	granules: 'Into the hopper',
	'seed treatment': 'Onto the seed',
	'closed space': 'Into the applicator',
};

function heldIn({ amount }: { readonly amount: number }, { plan }: LoadCard): string {
	return quantityWords(amount, plan.spaceUnit ?? 'm³');
}

function plain(value: number): string {
	return Number.isInteger(value) ? figure(value) : bareAmount(value);
}

function LogTally({ card }: { readonly card: LoadCard }) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const [operator, setOperator] = useState<string | null>(null);
	const who = operator ?? card.operator ?? settings.answer?.operator ?? '';
	const { jobId, load } = card;
	const log = useCommand((api, by: string, key) =>
		api.fills.log({ key, jobId, load, operator: by, at: new Date().toISOString() }),
	);
	return (
		<section className="yard-panel" aria-label="Log the fill">
			<p className="yard-head">Everything is in</p>
			<div className="yard-form">
				<EntryForm
					command={log}
					onSubmit={() => log.run(who.trim())}
					foot={
						<Button type="submit" loading={log.busy}>
							Log the fill
						</Button>
					}
				>
					<TextInput
						label="Operator"
						required
						maxLength={120}
						autoComplete="off"
						value={who}
						onChange={(event) => setOperator(event.currentTarget.value)}
					/>
				</EntryForm>
			</div>
		</section>
	);
}
