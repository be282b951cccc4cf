import { useState } from 'react';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { FillGiven } from '../../../shared/core/filling/fill-given.ts';
import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import { paceWords } from '../../paper/card-words.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { undoWords } from './fill-words.ts';
import { IncidentEntry } from './incident-entry.tsx';
import type { FillSteps } from './use-fill-steps.ts';

type Props = {
	readonly card: LoadCard;
	readonly given: FillGiven;
	readonly at: FillNow;
	readonly steps: FillSteps;
	readonly onEnd: (() => void) | undefined;
};

/** The products in order with their ticks, taking a step back, and what else may be needed. */
export function YardFoot({ card, given, at, steps, onEnd }: Props) {
	const [noting, setNoting] = useState(false);
	return (
		<footer className="yard-foot">
			{steps.problem && (
				<p className="notice stop" role="alert">
					<span className="word">{steps.unsent > 0 ? 'Kept here' : 'Look'}</span>
					<span>
						{steps.unsent > 0
							? `${steps.unsent} steps are kept on this device until the program answers again.`
							: steps.problem.sentence}
					</span>
				</p>
			)}
			<PouringOrder card={card} containers={given.containers} done={at.state.done} next={at.next} />
			<div className="yard-tools">
				<button type="button" className="yard-tool" onClick={steps.undo} disabled={!steps.last}>
					{undoWords(steps.last)} <kbd>U</kbd>
				</button>
				{at.phase !== 'halted' && (
					<button type="button" className="yard-tool" onClick={() => setNoting(true)}>
						Log an incident
					</button>
				)}
				{onEnd && (
					<button type="button" className="yard-tool" onClick={onEnd}>
						End the fill here
					</button>
				)}
			</div>
			<Cautions
				lines={[...(card.orderProblem ? [`No order could be given: ${card.orderProblem}`] : []), ...card.cautions]}
				complete
			/>
			<p className="quiet small">{paceWords(card.pace)}</p>
			<Dialog title="What happened?" opened={noting} onClose={() => setNoting(false)} size="wide">
				<IncidentEntry card={card} onClose={() => setNoting(false)} />
			</Dialog>
		</footer>
	);
}

/** Each product in mix order: a box a container, ticked as it is done. */
export function PouringOrder(props: {
	readonly card: LoadCard;
	readonly containers: readonly { readonly product: string }[];
	readonly done: ReadonlySet<number>;
	readonly next: number | null;
}) {
	const numbered = props.containers.map((container, index) => ({ ...container, number: index + 1 }));
	return (
		<ol className="yard-order" aria-label="Products in order">
			{props.card.order.map(({ productId, name, step }) => {
				const own = numbered.filter(({ product }) => product === name);
				const done = own.filter(({ number }) => props.done.has(number)).length;
				const current = own.some(({ number }) => number === (props.next ?? -1) + 1);
				const state = done === own.length ? 'done' : current ? 'now' : 'later';
				return (
					<li key={productId} data-state={state} aria-current={current ? 'step' : undefined}>
						<span className="tick" aria-hidden="true">
							{state === 'done' ? '✓' : step}
						</span>
						<span className="name">{name}</span>
						<span className="many">
							{done} of {own.length}
						</span>
					</li>
				);
			})}
		</ol>
	);
}
