import { useEffect, useMemo, useState } from 'react';
import { Link } from 'wouter';
import { fillNow } from '../../../shared/core/filling/fill-now.ts';
import { useBook } from '../../api.ts';
import { isCarriedOn } from '../../held-words.ts';
import { paceWords } from '../../paper/card-words.ts';
import { Answered, Page } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { DemoRibbon, OpeningRibbon } from '../../parts/shell.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { FillDone } from './fill-done.tsx';
import { FillEnd } from './fill-end.tsx';
import { TallyFill } from './tally-fill.tsx';
import { TankBefore } from './tank-before.tsx';
import { Trouble } from './trouble.tsx';
import { type FillSteps, useFillSteps } from './use-fill-steps.ts';
import { useCallTone, useLitScreen, useNow, useYardKeys } from './use-yard.ts';
import { YardContainers } from './yard-containers.tsx';
import { YardFoot } from './yard-foot.tsx';
import { type Sheet, YardTop } from './yard-top.tsx';
import { YardWater } from './yard-water.tsx';
import './fill.css';

/** The running fill of one load, to be read at arm's length and pressed with gloves on. */
export function FillPage({ id, load }: { readonly id: string; readonly load: number }) {
	const sheet = useProcedure(['jobs', id, 'fill', load], (api) => api.fills.sheet({ jobId: id, load }));
	const steps = useFillSteps(id, load);
	const given = sheet.answer?.given;
	const portions = sheet.answer?.portions;
	const { area, volume } = useUnits();
	return (
		<>
			<DemoRibbon />
			<OpeningRibbon />
			<main id="page" className="yard" tabIndex={-1}>
				{sheet.answer && given && steps.ready ? (
					<Filling sheet={{ card: sheet.answer.card, given }} steps={steps} />
				) : sheet.answer && portions && steps.ready ? (
					<TallyFill card={sheet.answer.card} portions={portions} steps={steps} />
				) : (
					<Page title={`Filling load ${load}`}>
						<section>
							<p className="quiet">
								<Link href={`/jobs/${id}/${load}`}>Back to the job</Link>
							</p>
							<Answered asked={sheet}>
								{({ card }) => (
									<p className="say">
										{isCarriedOn(card.plan)
											? `Nothing to fill: the ${volume(card.plan.carriedInL)} of mix left in the tank go onto ${area(card.plan.areaHa)}.`
											: given === null && !portions
												? `The fill of this load cannot be worked out: ${card.fillProblem}`
												: 'Reading the steps …'}
									</p>
								)}
							</Answered>
							<ProblemNotice problem={steps.problem} />
						</section>
					</Page>
				)}
			</main>
		</>
	);
}

function Filling({ sheet, steps }: { readonly sheet: Sheet; readonly steps: FillSteps }) {
	const { say } = useUnits();
	const { card, given } = sheet;
	const book = useBook();
	const now = useNow();
	const at = useMemo(() => fillNow(given, steps.steps, now), [given, steps.steps, now]);
	const [ending, setEnding] = useState(false);
	const [sound, setSound] = useSound(book);
	const { inletOpen, openedAt } = at.state;
	useEffect(() => {
		document.title = `Filling load ${card.load} · Fillmark`;
	}, [card.load]);
	// What is to be done next stands at the top.
	const { phase } = at;
	useEffect(() => {
		if (phase !== 'not begun') window.scrollTo(0, 0);
	}, [phase]);
	const over = steps.logged !== null && steps.steps.length === 0;
	const live = !over && !ending && at.phase !== 'halted' && at.phase !== 'filled';
	const turnInlet = () => steps.note({ what: inletOpen ? 'inlet stopped' : 'inlet opened' });
	const containerDone = () => {
		if (at.next !== null && openedAt !== null) steps.note({ what: 'container done', container: at.next + 1 });
	};
	useYardKeys(live ? { Space: containerDone, S: turnInlet, U: steps.undo } : over ? {} : { U: steps.undo });
	useLitScreen(openedAt !== null && !over);
	useCallTone(live && (at.stop?.call === 'now' || (at.openInS === 0 && openedAt !== null)), sound);
	return (
		<>
			<YardTop
				card={card}
				at={at}
				over={over}
				sound={sound}
				onSound={setSound}
				onTrouble={() => steps.note({ what: 'everything stopped' })}
			/>
			{over && steps.logged ? (
				<FillDone card={card} fill={steps.logged} onAgain={() => steps.note({ what: 'started over' })} />
			) : at.phase === 'halted' ? (
				<Trouble card={card} onGoOn={() => steps.note({ what: 'went on' })} />
			) : ending || at.phase === 'filled' ? (
				<FillEnd
					sheet={sheet}
					at={at}
					onBack={ending ? () => setEnding(false) : steps.undo}
					onLogged={() => setEnding(false)}
				/>
			) : (
				<div className="yard-body">
					{openedAt === null && <BeforeFilling jobId={card.jobId} />}
					<YardContainers sheet={sheet} at={at} onDone={containerDone} />
					<YardWater
						sheet={sheet}
						at={at}
						onTurn={turnInlet}
						onRead={(meteredL) => steps.note({ what: 'meter read', meteredL })}
					/>
				</div>
			)}
			{!over && (
				<YardFoot
					card={card}
					containers={given.containers}
					at={{ done: at.state.done, next: at.next }}
					steps={steps}
					halted={at.phase === 'halted'}
					under={<p className="quiet small">{say(paceWords(card.pace))}</p>}
					onEnd={live && openedAt !== null ? () => setEnding(true) : undefined}
				/>
			)}
		</>
	);
}

/** What was in the tank before, while there is still time to rinse it out. */
function BeforeFilling({ jobId }: { readonly jobId: string }) {
	const job = useProcedure(['jobs', jobId], (api) => api.jobs.get({ id: jobId })).answer;
	if (!job) return null;
	return (
		<div className="yard-before">
			<TankBefore
				sprayerId={job.sprayerId}
				fieldIds={job.fields.map(({ fieldId }) => fieldId)}
				productIds={job.products.map(({ productId }) => productId)}
				date={job.date}
				jobId={jobId}
			/>
		</div>
	);
}

function useSound(book: string): readonly [boolean, (on: boolean) => void] {
	const place = `fillmark-${book}-tone`;
	const [on, setOn] = useState(() => localStorage.getItem(place) !== 'off');
	const set = (next: boolean) => {
		localStorage.setItem(place, next ? 'on' : 'off');
		setOn(next);
	};
	return [on, set];
}
