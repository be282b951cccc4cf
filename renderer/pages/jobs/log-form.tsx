import { Button, Checkbox, Textarea, TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FillRow } from '../../../shared/contract/fills.ts';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { Settings } from '../../../shared/contract/settings.ts';
import type { RinseWay } from '../../../shared/contract/waste.ts';
import { shortDate } from '../../format.ts';
import { isOnGround } from '../../held-words.ts';
import { portionWord } from '../../kind-words.ts';
import { asksFlowering, isMixed } from '../../paper/card-words.ts';
import { DateInput } from '../../parts/date-input.tsx';
import type { MarginRow } from '../../parts/margin-rows.ts';
import { Page, PageHead } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { rinseWays } from '../store/rinse-ways.ts';
import { onTreated, restOfLoad, standingLogs, whereLoadEnds } from './job-words.ts';
import { spanOf, timesAfterFill, usualTimes } from './local-time.ts';
import { LogAmounts } from './log-amounts.tsx';
import { LogBreak } from './log-break.tsx';
import { LogCovered } from './log-covered.tsx';
import type { LoggedLoad } from './log-done.tsx';
import { isAllCovered, type LogDraft, type LogRequest, logRequest, NOT_SEEN, treatedIn } from './log-draft.ts';
import { LogMargins } from './log-margins.tsx';
import { LogReadBack } from './log-read-back.tsx';
import { LogSpaces, spacesHeading } from './log-spaces.tsx';
import { LogTold } from './log-told.tsx';
import { LogWeather } from './log-weather.tsx';
import { useDrawAhead } from './out-of-store.tsx';
import { useKept, useRemembered } from './use-kept.ts';

type Props = {
	readonly job: Job;
	readonly card: LoadCard;
	/** The fill logged in the yard: its meter and its end are where the log begins. */
	readonly fill: FillRow | null;
	readonly settings: Settings;
	/** Margins to begin with. */
	readonly margins: readonly MarginRow[];
	readonly onLogged: (logged: LoggedLoad) => void;
};

/** The entries of a load's log, filled in as planned. Enter reads them back; Enter again writes them. */
export function LogForm({ job, card, fill, settings, margins, onLogged }: Props) {
	const farmUnits = useUnits();
	const { load, plan } = card;
	const one = portionWord(card.kind);
	const onGround = isOnGround(job);
	const [, go] = useLocation();
	const [usualOperator, rememberOperator] = useRemembered('operator');
	const [usualHeight, rememberHeight] = useRemembered('wind-height');
	const [usualRinse, rememberRinse] = useRemembered('rinsed');
	const before = standingLogs(job.logs, load);
	const whole = restOfLoad(plan, before);
	// The carrier is metered: it is not entered as a product poured.
	const inOrder = ({ productId }: { readonly productId: string }) =>
		card.order.some((line) => line.productId === productId);
	const [draft, change, forget] = useKept<LogDraft>(`log ${job.id} ${load}`, () => ({
		...newLog(
			job,
			{ ...whole, products: whole.products.filter(inOrder) },
			settings,
			usualOperator,
			usualHeight,
			usualRinse,
			before.length > 0 ? null : fill,
		),
		margins,
	}));
	const spacesNow = draft.spaces.reduce((sum, line) => sum + treatedIn(line, whole.spaces), 0);
	const treated = card.indoors ? spacesNow : draft.quantity;
	const rest = draft.stopped ? { ...whole, products: onTreated(whole.products, plan, treated) } : whole;
	const set = (part: Partial<LogDraft>) => change((now) => ({ ...now, ...part }));
	const [readingBack, setReadingBack] = useState(false);
	const [tried, setTried] = useState(false);
	const ahead = useDrawAhead(card, draft);
	const covered =
		draft.stopped &&
		((onGround && isAllCovered(draft.covered, rest.ground)) ||
			(card.indoors !== null && draft.spaces.every(({ amount }) => amount === 'plan')));
	const first = useRef<HTMLInputElement>(null);
	useEffect(() => first.current?.focus({ preventScroll: true }), []);
	const log = useCommand(
		(api, wanted: LogRequest, key) => api.jobs.logLoad({ key, ...wanted }),
		(answer) => {
			rememberOperator(draft.operator.trim());
			if (draft.windHeightM !== null) rememberHeight(String(draft.windHeightM));
			rememberRinse(draft.rinsed ?? '');
			forget();
			onLogged({ load, ...answer });
		},
	);
	const span = spanOf(draft.date, draft.began, draft.ended);
	const address = `/jobs/${job.id}/${load}`;
	return (
		<Page title={`Log ${one} ${load}`}>
			<form
				className="log-page"
				onSubmit={(event) => {
					event.preventDefault();
					setTried(true);
					if (!covered) setReadingBack(true);
				}}
			>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link> · <Link href={address}>{job.name}</Link>
				</p>
				<PageHead
					title={
						before.length > 0 ? `Go on with ${one} ${load} of ${card.loads}` : `Log ${one} ${load} of ${card.loads}`
					}
					under={[
						job.name,
						...(onGround ? [whereLoadEnds(job.plan.loads, load, farmUnits)] : []),
						`card ${card.code}`,
					].join(' · ')}
				/>
				<div className="log-columns">
					<div>
						<h2>When and who</h2>
						<div className="log-when">
							<TextInput
								ref={first}
								type="time"
								label="Began"
								required
								value={draft.began}
								onChange={(event) => set({ began: event.currentTarget.value })}
							/>
							<TextInput
								type="time"
								label="Ended"
								required
								description={span.overnight ? 'on the next day' : undefined}
								value={draft.ended}
								onChange={(event) => set({ ended: event.currentTarget.value })}
							/>
							<DateInput
								label="On"
								required
								description={draft.date === job.date ? undefined : `planned ${shortDate(job.date)}`}
								value={draft.date}
								onChange={(date) => set({ date: date ?? '' })}
							/>
							<TextInput
								label="Operator"
								required
								maxLength={200}
								autoComplete="off"
								value={draft.operator}
								onChange={(event) => set({ operator: event.currentTarget.value })}
							/>
						</div>
						<LogAmounts card={card} rest={rest.products} draft={draft} ahead={ahead} onChange={set} />
						{onGround && <LogCovered job={job} planned={rest.ground} draft={draft} onChange={set} />}
						{card.indoors && <LogSpaces unit={card.indoors.unit} planned={rest.spaces} draft={draft} onChange={set} />}
					</div>
					<div>
						<h2>Broken off?</h2>
						<Checkbox
							label={`The ${one} was broken off before it was ${onGround ? 'empty' : 'done'}`}
							checked={draft.stopped}
							onChange={(event) => set({ stopped: event.currentTarget.checked })}
						/>
						{draft.stopped && <LogBreak job={job} planned={rest.ground} draft={draft} onChange={set} />}
						{onGround && <LogWeather draft={draft} onChange={set} />}
						{onGround && <LogMargins job={job} card={card} draft={draft} onChange={set} />}
						{onGround && <LogTold draft={draft} asked={asksFlowering(card)} onChange={set} />}
						<h2>Empty containers</h2>
						<Pick<RinseWay>
							label="Rinsed"
							placeholder="Not said"
							clearable
							options={rinseWays.map(({ value, label }) => ({ value, label }))}
							value={draft.rinsed ?? null}
							onChange={(rinsed) => set({ rinsed })}
						/>
						<h2>Note</h2>
						<Textarea
							aria-label="Note"
							autosize
							minRows={2}
							maxLength={4000}
							value={draft.note}
							onChange={(event) => set({ note: event.currentTarget.value })}
						/>
					</div>
				</div>
				<div className="form-foot log-foot">
					{tried && covered && (
						<p className="notice stop foot-word" role="alert">
							<span className="word">Not yet</span>
							<span>
								The {one} was broken off, but all{' '}
								{onGround ? 'its ground is entered as covered' : 'is entered as treated'}. Enter under “
								{onGround ? 'Onto the ground' : spacesHeading(draft.spaces)}” how far it got.
							</span>
						</p>
					)}
					<Button variant="default" onClick={() => go(address)}>
						Leave it
					</Button>
					<Button type="submit">Read it back</Button>
				</div>
			</form>
			<LogReadBack
				opened={readingBack}
				job={job}
				card={card}
				rest={rest}
				draft={draft}
				ahead={ahead}
				command={log}
				onLog={(allowShort) => log.run(logRequest(draft, rest, { jobId: job.id, load, allowShort }))}
				onClose={() => {
					setReadingBack(false);
					log.reset();
				}}
			/>
		</Page>
	);
}

function newLog(
	job: Job,
	rest: ReturnType<typeof restOfLoad>,
	settings: Settings,
	usualOperator: string,
	usualHeight: string,
	usualRinse: string,
	fill: FillRow | null,
): LogDraft {
	const standing = job.logs.filter(({ state }) => state !== 'reversed');
	const last = standing.toSorted((a, b) => Date.parse(a.finishedAt) - Date.parse(b.finishedAt)).at(-1);
	const height = Number(usualHeight);
	return {
		...(fill
			? timesAfterFill(Date.now(), settings.zone, fill)
			: usualTimes(Date.now(), settings.zone, last?.finishedAt ?? null)),
		operator: fill?.operator ?? last?.operator ?? job.operator ?? (usualOperator || (settings.operator ?? '')),
		amounts: 'as planned',
		poured: Object.fromEntries(rest.products.map(({ productId, amount }) => [productId, amount])),
		batches: {},
		meteredL: fill && (isMixed(job) || job.seed?.slurry) ? fill.meteredL : null,
		quantity: null,
		spaces: rest.spaces.map(({ spaceId }) => ({ spaceId, amount: 'plan', began: '', ended: '' })),
		covered: rest.ground.map(({ fieldId }) => ({ fieldId, areaHa: 'plan', began: '', ended: '', weather: NOT_SEEN })),
		ownTimes: false,
		stopped: false,
		why: '',
		mixLeftL: null,
		mix: 'kept',
		...NOT_SEEN,
		windHeightM: height > 0 ? height : null,
		rinsed: rinseWays.find(({ value }) => value === usualRinse)?.value ?? null,
		flowering: '',
		told: '',
		margins: [],
		note: '',
	};
}
