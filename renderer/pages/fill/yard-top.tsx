import type { ReactNode } from 'react';
import { Link } from 'wouter';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { FillGiven } from '../../../shared/core/filling/fill-given.ts';
import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import { clock } from '../../format.ts';
import { ColourSwitch } from '../../parts/shell.tsx';
import { useUnits } from '../../units.ts';

export type Sheet = { readonly card: LoadCard; readonly given: FillGiven };

type Props = {
	readonly card: LoadCard;
	readonly at: FillNow;
	readonly over: boolean;
	readonly sound: boolean;
	readonly onSound: (on: boolean) => void;
	readonly onTrouble: () => void;
};

/** Which load this is, how long it runs, and the one press for foam or an overflow, always in the same corner. */
export function YardTop({ card, at, over, sound, onSound, onTrouble }: Props) {
	const { volume } = useUnits();
	const running = at.state.openedAt !== null && !over;
	return (
		<YardHead
			card={card}
			title={`Load ${card.load} of ${card.loads}`}
			holds={`${volume(card.plan.totalL)}${card.carrier ? ` in ${card.carrier.name}, not water` : ''}`}
		>
			<button type="button" className="yard-quiet" aria-pressed={sound} onClick={() => onSound(!sound)}>
				{sound ? 'Sound on' : 'Sound off'}
			</button>
			{running && (
				<p className="yard-clock" role="timer" aria-label="Time since the inlet was opened">
					{clock(at.elapsedS)}
				</p>
			)}
			{running && at.phase !== 'halted' && (
				<button type="button" className="yard-alarm" onClick={onTrouble}>
					Foam, overflow:
					<br />
					stop everything
				</button>
			)}
		</YardHead>
	);
}

/** The way back to the job, and which fill of it this is. */
export function YardHead(props: {
	readonly card: LoadCard;
	readonly title: string;
	readonly holds: string;
	readonly children: ReactNode;
}) {
	const { card } = props;
	return (
		<header className="yard-top">
			<Link href={`/jobs/${card.jobId}/${card.load}`} className="yard-back" aria-label="Back to the job">
				←
			</Link>
			<div className="yard-which">
				<h1>{props.title}</h1>
				<p className="quiet">
					{props.holds} · {card.job} · {card.sprayer}
				</p>
			</div>
			<ColourSwitch />
			{props.children}
		</header>
	);
}
