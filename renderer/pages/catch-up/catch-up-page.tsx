import { Button } from '@mantine/core';
import { type KeyboardEvent, useEffect, useRef } from 'react';
import { Link } from 'wouter';
import { count, shortDate } from '../../format.ts';
import { Page, PageHead } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CardEntry } from './card-entry.tsx';
import { marginsOf } from './card-row.ts';
import { type LoggedCard, useCardRows } from './use-card-rows.ts';
import './catch-up.css';
import { isKeptAfterwards } from '../../../shared/core/limits/limit.ts';

/** Paper cards of several loads, keyed one after the other and logged together. */
export function CatchUpPage() {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const cards = useCardRows(settings.answer?.operator ?? '');
	const form = useRef<HTMLFormElement>(null);
	const save = useRef<HTMLButtonElement>(null);
	useEffect(() => form.current?.querySelector<HTMLInputElement>('[data-code]')?.focus({ preventScroll: true }), []);

	async function logAll(): Promise<void> {
		await cards.logAll();
		form.current?.querySelector<HTMLElement>('[role="alert"], [role="status"]')?.scrollIntoView({ block: 'nearest' });
	}

	return (
		<Page title="Several load cards">
			<section>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link>
				</p>
				<PageHead
					title="Several load cards"
					under="Type the code of a card; what is left empty stands as planned and is marked so. Enter goes to the next entry, Ctrl+Enter to the next card; in an empty code, Enter goes to the button that logs them."
				/>
				<form
					ref={form}
					className="catch-up"
					onSubmit={(event) => {
						event.preventDefault();
						void logAll();
					}}
					onKeyDown={(event) => onEnter(event, save.current)}
				>
					<Logged cards={cards.logged} />
					{cards.rows.map((row) => (
						<CardEntry
							key={row.key}
							row={row}
							margins={marginsOf(row, cards.rows)}
							trouble={cards.sayOf(row)}
							onChange={(part) => cards.set(row.key, part)}
							onCode={() => void cards.lookUp(row.key)}
						/>
					))}
					<div className="form-foot log-foot">
						<p className="quiet small foot-word">
							Logged in the order in which they began. A load that was broken off, or went elsewhere than planned, is
							logged from its own job.
						</p>
						<Button variant="default" disabled={cards.filled.length === 0} onClick={cards.forget}>
							Clear the page
						</Button>
						<Button ref={save} type="submit" loading={cards.busy} disabled={cards.filled.length === 0}>
							{cards.filled.length === 0 ? 'Log the loads' : `Log ${count(cards.filled.length, 'load')}`}
						</Button>
					</div>
				</form>
			</section>
		</Page>
	);
}

function Logged({ cards }: { readonly cards: readonly LoggedCard[] }) {
	if (cards.length === 0) return null;
	return (
		<DoneNotice>
			{count(cards.length, 'load')} logged, in this order:
			<ol className="plain-list logged-cards">
				{cards.map((each) => (
					<li key={each.key}>
						{shortDate(each.on)}, {each.began}{' '}
						<Link href={`/jobs/${each.card.jobId}/${each.card.load}`}>
							{each.card.job}, load {each.card.load}
						</Link>
						: {count(each.records, 'spray record')}
						{each.unconfirmed.length > 0 && (
							<>
								{' '}
								<span className="chip">
									{each.unconfirmed.length === each.card.products.length
										? 'as planned, not confirmed'
										: `not confirmed: ${each.unconfirmed.join(', ')}`}
								</span>
							</>
						)}
						{each.bufferOpen && (
							<>
								{' '}
								<span className="chip">buffer not answered</span>
							</>
						)}
						{each.notNamed.map((words) => (
							<span key={words} className="second">
								{words}
							</span>
						))}
						{saidOnce(each.findings).map(({ key, kept, say, product, fields }) => (
							<span key={key} className="second">
								{kept ? 'To keep: ' : <span className="chip stop">limit not kept</span>} {product && <b>{product}. </b>}
								{say}
								{!kept && <span className="quiet small"> On {fields.join(', ')}</span>}
							</span>
						))}
					</li>
				))}
			</ol>
		</DoneNotice>
	);
}

/** The same sentence once for all fields; what was not kept before what is to be kept from now on. */
function saidOnce(findings: LoggedCard['findings']) {
	const groups = Map.groupBy(findings, ({ kind, productId, say }) => `${kind} ${productId} ${say}`);
	return [...groups]
		.flatMap(([key, [first, ...others]]) => {
			if (!first) return [];
			const fields = [...new Set([first, ...others].map(({ field }) => field))];
			return [{ key, kept: isKeptAfterwards(first), say: first.say, product: first.product, fields }];
		})
		.sort((one, other) => Number(one.kept) - Number(other.kept));
}

/** Enter goes on as Tab does; from an empty code to the button that logs them. */
function onEnter(event: KeyboardEvent<HTMLFormElement>, save: HTMLButtonElement | null): void {
	const { target } = event;
	if (event.key !== 'Enter' || !(target instanceof HTMLInputElement)) return;
	event.preventDefault();
	if ('code' in target.dataset && target.value.trim() === '') return void save?.focus();
	const stops = [
		...event.currentTarget.querySelectorAll<HTMLInputElement>('input:not([type=hidden], [tabindex="-1"])'),
	];
	const from = stops.indexOf(target);
	const next = stops.slice(from + 1).find((stop) => !event.ctrlKey || 'code' in stop.dataset);
	(next ?? save)?.focus();
}
