import { type ReactNode, useState } from 'react';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { WATER } from '../../../shared/core/filling/tally.ts';
import { count } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { undoWords } from './fill-words.ts';
import { IncidentEntry } from './incident-entry.tsx';
import type { FillSteps } from './use-fill-steps.ts';

type Poured = { readonly done: ReadonlySet<number>; readonly next: number | null };

type Props = {
	readonly card: LoadCard;
	readonly containers: readonly { readonly product: string }[];
	readonly at: Poured;
	readonly steps: FillSteps;
	/** What is poured, as the step to take back names it. */
	readonly thing?: string | undefined;
	/** Where the trouble is already on the page, nothing asks for it again. */
	readonly halted?: boolean;
	readonly onEnd?: (() => void) | undefined;
	readonly under?: ReactNode;
};

/** The products in order with their ticks, taking a step back, and what else may be needed. */
export function YardFoot({ card, containers, at, steps, thing, halted = false, onEnd, under }: Props) {
	const [noting, setNoting] = useState(false);
	return (
		<footer className="yard-foot">
			{steps.problem && (
				<p className="notice stop" role="alert">
					<span className="word">{steps.unsent > 0 ? 'Kept here' : 'Look'}</span>
					<span>
						{steps.unsent > 0
							? `${count(steps.unsent, 'step is', 'steps are')} kept on this device until the program answers again.`
							: steps.problem.sentence}
					</span>
				</p>
			)}
			<PouringOrder card={card} containers={containers} at={at} />
			<div className="yard-tools">
				<button type="button" className="yard-tool" onClick={steps.undo} disabled={!steps.last}>
					{undoWords(steps.last, thing)} <kbd>U</kbd>
				</button>
				{!halted && (
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
			{under}
			<Dialog title="What happened?" opened={noting} onClose={() => setNoting(false)} size="wide">
				<IncidentEntry card={card} onClose={() => setNoting(false)} />
			</Dialog>
		</footer>
	);
}

/** Each product in mix order: a box a container, ticked as it is done. */
function PouringOrder(props: Pick<Props, 'card' | 'containers' | 'at'>) {
	const numbered = props.containers.map((container, index) => ({ ...container, number: index + 1 }));
	const water = numbered.some(({ product }) => product === WATER) ? [{ productId: WATER, name: WATER, step: '' }] : [];
	return (
		<ol className="yard-order" aria-label="Products in order">
			{[...water, ...props.card.order].map(({ productId, name, step }) => {
				const own = numbered.filter(({ product }) => product === name);
				const done = own.filter(({ number }) => props.at.done.has(number)).length;
				const current = own.some(({ number }) => number === (props.at.next ?? -1) + 1);
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
