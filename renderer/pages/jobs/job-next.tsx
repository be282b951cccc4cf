import { Button } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import type { Job } from '../../../shared/contract/jobs.ts';
import { isCarriedOn } from '../../held-words.ts';
import { portionWord } from '../../kind-words.ts';
import { useUnits } from '../../units.ts';
import { leftWithoutLoad, loadState } from './job-words.ts';
import { Printed, usePrintCard } from './print-card.tsx';

const shortWords = { load: 'It ran short: a top-up load', fill: 'It ran short: one more fill' } as const;

type Props = {
	readonly job: Job;
	readonly load: number;
	readonly onClose: () => void;
	readonly onWithdraw: () => void;
};

/** The one thing to do next, then what else can be done. */
export function JobNext({ job, load, onClose, onWithdraw }: Props) {
	const farmUnits = useUnits();
	const [, go] = useLocation();
	const print = usePrintCard({ jobId: job.id, toAnswer: job.plan.toAnswer, overrideWhy: job.overrideWhy });
	const [printedLoad, setPrintedLoad] = useState<number | null>(null);
	const frame = useRef<HTMLDivElement>(null);
	const { busy } = print;
	useEffect(() => {
		const nobody = document.activeElement === null || document.activeElement === document.body;
		if (!busy && nobody) frame.current?.querySelector('button')?.focus({ preventScroll: true });
	}, [busy]);
	if (job.state === 'closed') {
		return (
			<div className="job-next screen-only">
				<div className="row">
					<Button variant="default" onClick={() => go('/records')}>
						Spray records
					</Button>
					<SheetButton job={job} />
				</div>
			</div>
		);
	}
	const without = leftWithoutLoad(job, farmUnits);
	const state = load > 0 ? loadState(job.logs, load) : 'logged';
	const begun = state === 'broken off';
	const logFirst = begun || printedLoad === load;
	const address = `/jobs/${job.id}/${load}`;
	const one = portionWord(job.kind);
	const log = (
		<Button key="log" variant={logFirst ? 'filled' : 'default'} onClick={() => go(`${address}/log`)}>
			{begun ? `Go on with ${one} ${load}` : `Log this ${one}`}
		</Button>
	);
	const printIt = (
		<Button
			key="print"
			variant={logFirst ? 'default' : 'filled'}
			loading={print.busy}
			onClick={async () => {
				if (await print.run({ load, paper: 'A4' })) setPrintedLoad(load);
			}}
		>
			Print the card
		</Button>
	);
	const planned = job.plan.loads.find((each) => each.load === load);
	const fillIt = planned && !isCarriedOn(planned) && (
		<Button key="fill" variant="default" onClick={() => go(`/jobs/${job.id}/fill/${load}`)}>
			Fill in the yard
		</Button>
	);
	return (
		<div className="job-next screen-only" ref={frame}>
			{without !== null && (
				<p className="notice without-load" role="status">
					<span className="word">Look</span>
					<span>
						{without} are in no {one} now: what was meant for them was disposed of.
						{job.indoors !== null
							? ' Plan another job for them.'
							: job.state === 'done'
								? ' Plan a top-up for them, or close the job.'
								: ' Plan the rest again.'}
					</span>
				</p>
			)}
			<div className="row">
				{job.state === 'done' ? (
					<Button onClick={onClose}>Close the job</Button>
				) : state === 'logged' ? null : logFirst ? (
					[log, printIt, state === 'to do' && fillIt]
				) : (
					[printIt, log, fillIt]
				)}
			</div>
			<div className="row small">
				{load > 0 && (
					<Button size="compact-sm" variant="subtle" onClick={() => go(`${address}/card`)}>
						Card on screen
					</Button>
				)}
				<SheetButton job={job} small />
				{job.state === 'planned' && (
					<Button size="compact-sm" variant="subtle" onClick={() => go(`/jobs/${job.id}/edit`)}>
						Change the plan
					</Button>
				)}
				{job.indoors === null && (job.state === 'in progress' || (job.state === 'done' && job.seed === null)) && (
					<Button size="compact-sm" variant="subtle" onClick={() => go(`/jobs/${job.id}/rest`)}>
						{job.state === 'done' ? shortWords[job.kind === 'granules' ? 'fill' : 'load'] : 'Plan the rest again'}
					</Button>
				)}
				{job.state === 'planned' && (
					<Button size="compact-sm" variant="subtle" onClick={onWithdraw}>
						Withdraw the job
					</Button>
				)}
				{job.state === 'in progress' && (
					<Button size="compact-sm" variant="subtle" onClick={onClose}>
						Close it early
					</Button>
				)}
			</div>
			<Printed print={print} />
		</div>
	);
}

/** The sheet of this job alone, for whoever it was done for. */
function SheetButton({ job, small = false }: { readonly job: Job; readonly small?: boolean }) {
	const [, go] = useLocation();
	if (job.logs.every(({ state }) => state === 'reversed')) return null;
	return (
		<Button
			{...(small ? ({ size: 'compact-sm', variant: 'subtle' } as const) : ({ variant: 'default' } as const))}
			onClick={() => go(`/season/reports/job-sheet/${job.id}`)}
		>
			{job.customer === null ? 'Job sheet' : `Job sheet for ${job.customer}`}
		</Button>
	);
}
