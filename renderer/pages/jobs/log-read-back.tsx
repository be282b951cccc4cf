import { Button } from '@mantine/core';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { DrawnProduct } from '../../../shared/contract/jobs-drawn.ts';
import { capital, figure, longDate } from '../../format.ts';
import { isOnGround, quantityWords } from '../../held-words.ts';
import { portionWord } from '../../kind-words.ts';
import { asksFlowering, buffersAsked, isMixed } from '../../paper/card-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { marginsOnFields } from '../../parts/margin-rows.ts';
import { Facts } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { type Units, useUnits } from '../../units.ts';
import type { Command } from '../../use-procedure.ts';
import { drawnWords, isOtherBatch, notAsNamedWords } from './drawn-words.ts';
import type { Rest } from './job-words.ts';
import { spanOf } from './local-time.ts';
import { coveredHa, type LogDraft, type LogRequest, treatedIn, weatherOf, weatherOn } from './log-draft.ts';
import { mayLogShort } from './logged-short.ts';
import { useRefocus } from './use-refocus.ts';

type Props<Answer> = {
	readonly opened: boolean;
	readonly job: Job;
	readonly card: LoadCard;
	readonly rest: Rest;
	readonly draft: LogDraft;
	readonly ahead: readonly DrawnProduct[];
	readonly command: Command<LogRequest, Answer>;
	readonly onLog: (allowShort: boolean) => void;
	readonly onClose: () => void;
};

/** Everything that will be written, to be read once more. The button that writes it has the focus. */
export function LogReadBack<Answer>(props: Props<Answer>) {
	const farmUnits = useUnits();
	const { card, command } = props;
	const short = mayLogShort(command.problem?.code);
	const write = useRefocus(command.busy);
	const one = portionWord(card.kind);
	return (
		<Dialog title={`${capital(one)} ${card.load} as it will be written`} opened={props.opened} onClose={props.onClose}>
			<div className="stack read-back">
				<Facts items={linesOf(props, farmUnits)} />
				<ProblemNotice problem={command.problem}>
					{short && (
						<p className="quiet above-small">
							The tank is right and the book may be wrong. Logged as short, the difference stands open until the next
							stock take closes it.
						</p>
					)}
				</ProblemNotice>
				<div className="form-foot">
					<Button variant="default" onClick={props.onClose}>
						Change something
					</Button>
					<Button ref={write} data-autofocus loading={command.busy} onClick={() => props.onLog(short)}>
						{short ? 'Log it as short' : `Log ${one} ${card.load}`}
					</Button>
				</div>
			</div>
		</Dialog>
	);
}

type Line = readonly [string, string];

function linesOf<Answer>({ job, card, rest, draft, ahead }: Props<Answer>, farmUnits: Units): (Line | false)[] {
	const { overnight } = spanOf(draft.date, draft.began, draft.ended);
	const poured = card.order.map(({ productId, name, unit }): Line => {
		const planned = rest.products.find((line) => line.productId === productId)?.amount ?? 0;
		const now = draft.amounts === 'entered' ? draft.poured[productId] : planned;
		const drawn = ahead.find((line) => line.productId === productId && line.parts.some(({ batch }) => batch !== null));
		return [name, `${farmUnits.amount(now ?? 0, unit)}${drawn ? ` · ${drawnWords(drawn, unit, farmUnits)}` : ''}`];
	});
	const notNamed = ahead.flatMap(({ productId, notAsNamed }) => {
		const line = card.order.find((each) => each.productId === productId);
		return line && notAsNamed && isOtherBatch(notAsNamed)
			? [`${line.name}. ${notAsNamedWords(notAsNamed, line.unit, farmUnits)}`]
			: [];
	});
	const ground = draft.covered.map((line): Line => {
		const name = job.fields.find(({ fieldId }) => fieldId === line.fieldId)?.name ?? 'Field';
		const own = draft.ownTimes && line.began !== '' && line.ended !== '' ? `, ${line.began} – ${line.ended}` : '';
		const there = draft.ownTimes ? weatherOn(draft, line) : null;
		const seen = there === null ? '' : `, ${weatherWords(there, farmUnits)}`;
		return [name, `${farmUnits.area(coveredHa(line, rest.ground))}${own}${seen}`];
	});
	const spaces = draft.spaces.flatMap((line): Line[] => {
		const space = rest.spaces.find(({ spaceId }) => spaceId === line.spaceId);
		const own = draft.ownTimes && line.began !== '' && line.ended !== '' ? `, ${line.began} – ${line.ended}` : '';
		const treated = treatedIn(line, rest.spaces);
		const words = treated > 0 ? `${quantityWords(treated, card.indoors?.unit ?? 'm³')}${own}` : 'not treated';
		return space ? [[space.name, words]] : [];
	});
	// A load that is gone on with has its mix in the tank.
	const nothingMore = draft.amounts !== 'entered' && rest.products.every((line) => line.amount === 0);
	const amounts: Line[] = [...poured, ['Amounts', draft.amounts === 'entered' ? 'entered' : 'as planned']];
	return [
		['When', `${longDate(draft.date)}, ${draft.began} – ${draft.ended}${overnight ? ' next day' : ''}`],
		['Operator', draft.operator],
		...(nothingMore ? [['Into the tank', 'nothing more'] satisfies Line] : amounts),
		notNamed.length > 0 && ['Look', notNamed.join(' ')],
		card.seed !== null && ['Seed treated', quantityWords(draft.quantity ?? card.plan.seed, card.seed.unit)],
		...spaces,
		...meteredLine(card, draft, rest, farmUnits),
		...ground,
		draft.stopped && ['Broken off', brokenOff(card, draft, farmUnits)],
		isOnGround(job) && ['Weather', weatherWords(weatherOf(draft), farmUnits)],
		(draft.flowering !== '' || asksFlowering(card)) && ['In flower', draft.flowering || 'not answered'],
		...distanceLines(job, card, draft),
		draft.told !== '' && ['Told', draft.told],
	];
}

/** The margins as they were assessed; where a label asks and nothing was said, that. */
function distanceLines({ fields }: Job, card: LoadCard, { margins }: LogDraft): Line[] {
	const said = marginsOnFields(margins, fields);
	if (said !== '') return [['Buffer kept', said]];
	return buffersAsked(card).length > 0 ? [['Buffer kept', 'not answered']] : [];
}

function meteredLine(
	{ plan, kind, carrier }: LoadCard,
	{ meteredL, stopped }: LogDraft,
	rest: Rest,
	farmUnits: Units,
): Line[] {
	if (kind === 'seed treatment') {
		if (plan.slurryL === undefined) return [];
		const planned = stopped ? 'its share' : `${farmUnits.amount(plan.waterL, 'L')}, as planned`;
		return [['Water of the slurry', meteredL === null ? planned : farmUnits.amount(meteredL, 'L')]];
	}
	if (meteredL === null && carrier)
		return [[carrier.name, `${carrierNow(plan, carrier.productId, rest, farmUnits)}, as planned`]];
	return meteredL === null ? [] : [[carrier ? 'Metered fertiliser' : 'Metered water', `${farmUnits.volume(meteredL)}`]];
}

/** Fertiliser that goes out of the store where the meter was not read; bulk that is only noted, by the litre. */
function carrierNow(
	{ products, carrierL }: LoadCard['plan'],
	productId: string | null,
	rest: Rest,
	farmUnits: Units,
): string {
	const line = products.find((each) => each.productId === productId);
	const now = rest.products.find((each) => each.productId === productId)?.amount;
	return line ? farmUnits.amount(now ?? line.amount, line.unit) : `${farmUnits.volume(carrierL)}`;
}

function brokenOff({ kind }: LoadCard, { why, mixLeftL, mix }: LogDraft, farmUnits: Units): string {
	const left = isMixed({ kind }) ? 'mix' : 'what is left';
	return `${why}; ${mixLeftL === null ? left : `${farmUnits.volume(mixLeftL)} of ${kind === 'neat liquid' ? 'product' : 'mix'}`} ${mix === 'kept' ? 'kept' : 'disposed of'}`;
}

function weatherWords(seen: ReturnType<typeof weatherOf>, { say }: Units): string {
	const wind = [
		seen.windSpeedKmh === undefined
			? ''
			: `wind ${figure(seen.windSpeedKmh, Number.isInteger(seen.windSpeedKmh) ? 0 : 1)} km/h`,
		seen.windDirection === undefined ? '' : `from ${seen.windDirection}`,
		seen.windHeightM === undefined ? '' : `at ${seen.windHeightM} m`,
	];
	const air = [
		seen.temperatureC === undefined ? '' : `${seen.temperatureC} °C`,
		seen.humidityPercent === undefined ? '' : `${seen.humidityPercent} % humidity`,
	];
	const words = [wind.filter(Boolean).join(' '), air.filter(Boolean).join(', ')].filter((part) => part !== '');
	return words.length > 0 ? say(words.join(', ')) : 'not entered';
}
