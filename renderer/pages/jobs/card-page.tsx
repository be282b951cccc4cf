import { Button, SegmentedControl } from '@mantine/core';
import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { capital } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { LoadCardSheet } from '../../paper/load-card-sheet.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { Printed, usePrintCard } from './print-card.tsx';
import { useRefocus } from './use-refocus.ts';

/** The card of one load on screen, as it is printed. */
export function CardPage({ id, load }: { readonly id: string; readonly load: number }) {
	const card = useProcedure(['jobs', id, 'card', load], (api) => api.jobs.card({ jobId: id, load }));
	return (
		<Page title={`Load card ${card.answer?.code ?? ''}`} columns={card.answer ? 'two' : 'one'}>
			{card.answer ? (
				<Shown card={card.answer} />
			) : (
				<section>
					<Answered asked={card}>{() => null}</Answered>
				</section>
			)}
		</Page>
	);
}

type Paper = 'A4' | 'A5';

function Shown({ card }: { readonly card: LoadCard }) {
	const [, go] = useLocation();
	const [paper, setPaper] = useState<Paper>('A4');
	const print = usePrintCard(card);
	const printButton = useRefocus(print.busy);
	const one = portionWord(card.kind);
	const address = (load: number, page = '') => `/jobs/${card.jobId}/${load}${page}`;
	return (
		<>
			<section className="card-on-screen" aria-label={`Card of load ${card.load}`}>
				<LoadCardSheet card={card} paper={paper} />
			</section>
			<section className="screen-only">
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link> · <Link href={address(card.load)}>{card.job}</Link>
				</p>
				<PageHead title={`${capital(one)} ${card.load} of ${card.loads}`} under={`Card ${card.code}`} />
				<div className="stack">
					<div>
						<SegmentedControl<Paper> aria-label="Paper" data={['A4', 'A5']} value={paper} onChange={setPaper} />
					</div>
					<div className="row">
						<Button ref={printButton} loading={print.busy} onClick={() => print.run({ load: card.load, paper })}>
							Print the card
						</Button>
						{card.loads > 1 && (
							<Button variant="default" disabled={print.busy} onClick={() => print.run({ paper })}>
								Print all {card.loads}
							</Button>
						)}
						<Button variant="default" onClick={() => go(address(card.load, '/log'))}>
							Log this {one}
						</Button>
					</div>
					<Printed print={print} />
					<nav className="row" aria-label="Loads of this job">
						{Array.from({ length: card.loads }, (_, index) => index + 1).map((load) => (
							<Link
								key={load}
								className="load-link"
								href={address(load, '/card')}
								aria-current={load === card.load ? 'page' : undefined}
							>
								{capital(one)} {load}
							</Link>
						))}
					</nav>
				</div>
			</section>
		</>
	);
}
