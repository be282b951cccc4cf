import { Button, Checkbox, TextInput } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import { Link } from 'wouter';
import type { StockTake, TakeLine } from '../../../shared/contract/stock-take.ts';
import type { Store } from '../../../shared/contract/store-list.ts';
import { count, shortDate, timeOfDay } from '../../format.ts';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { StoreNav } from './store-nav.tsx';
import { useStores } from './store-pick.tsx';
import { StoreSwitch } from './store-switch.tsx';
import { TakeCompare } from './take-compare.tsx';
import { TakeCount } from './take-count.tsx';
import './store.css';

/** How soon what another counter entered is seen. */
const OTHERS_EVERY_S = 3;

type Step = 'count' | 'compare';

/** A stock take from opening to approval: count, compare with the book, sign. */
export function StockTakePage() {
	const [step, setStep] = useState<Step>('count');
	const stores = useStores();
	const [said, setSaid] = useState<string | null>(null);
	const storeId = said ?? stores[0]?.storeId ?? null;
	const [fresh, setFresh] = useState(false);
	const asked = useProcedure(
		['store', 'stock take', step, storeId],
		(api) => api.store.stockTake({ compare: step === 'compare', ...(storeId ? { storeId } : {}) }),
		{ enabled: storeId !== null, everyS: OTHERS_EVERY_S },
	);
	const take = asked.answer?.take ?? null;
	const go = (to: string) => {
		setSaid(to);
		setStep('count');
		setFresh(false);
	};
	const choice = stores.length > 1 && <StoreSwitch stores={stores} value={storeId} onChange={(to) => to && go(to)} />;
	if (asked.answer && (take === null || (take.outcome !== null && fresh))) {
		return <OpenTake key={storeId} stores={stores} storeId={storeId} choice={choice} />;
	}
	if (!asked.answer || !take) {
		return (
			<Page title="Stock take">
				<section>
					<TakeHead choice={choice} />
					<Answered asked={asked}>{() => null}</Answered>
				</section>
			</Page>
		);
	}
	const { lines } = asked.answer;
	const head = (
		<TakeHead choice={choice} take={take} lines={lines} step={step} onStep={setStep} onNew={() => setFresh(true)} />
	);
	return take.outcome === null && step === 'count' ? (
		<TakeCount key={take.id} take={take} lines={lines} head={head} onCompare={() => setStep('compare')} />
	) : (
		<TakeCompare key={take.id} take={take} lines={lines} head={head} onCount={() => setStep('count')} />
	);
}

function TakeHead(props: {
	readonly choice: ReactNode;
	readonly take?: StockTake;
	readonly lines?: readonly TakeLine[];
	readonly step?: Step;
	readonly onStep?: (step: Step) => void;
	readonly onNew?: () => void;
}) {
	const { take, lines = [] } = props;
	return (
		<>
			<PageHead title="Stock take" under={take && takeWords(take, lines, props.step === 'count')}>
				{take?.outcome === null && (
					<Button variant="default" onClick={() => props.onStep?.(props.step === 'count' ? 'compare' : 'count')}>
						{props.step === 'count' ? 'Compare with the book' : 'Back to counting'}
					</Button>
				)}
				{take && take.outcome !== null && <Button onClick={props.onNew}>Open a stock take</Button>}
			</PageHead>
			<StoreNav at="/store/counts" />
			{props.choice}
		</>
	);
}

function takeWords(take: StockTake, lines: readonly TakeLine[], counting: boolean): string {
	const at = `The store as it stood on ${shortDate(take.freezeAt)} at ${timeOfDay(take.freezeAt)}`;
	if (take.outcome) return `${at} · ${take.outcome} by ${take.endedBy ?? ''} on ${shortDate(take.endedAt)}`;
	const done = lines.filter((line) => line.counted !== null).length;
	return `${at} · ${done} of ${count(lines.length, 'product')} counted${take.blind && counting ? ' · the book is hidden' : ''}`;
}

function OpenTake(props: {
	readonly stores: readonly Store[];
	readonly storeId: string | null;
	readonly choice: ReactNode;
}) {
	const { stores, storeId } = props;
	const [by, setBy] = useState(useUsualOperator());
	const [blind, setBlind] = useState(true);
	const [at, setAt] = useState('');
	const [every, setEvery] = useState(false);
	const several = stores.length > 1;
	const open = useCommand((api, _: undefined, key) =>
		api.store.openStockTake({
			...{ key, by, blind, everyStore: several && every },
			...(storeId ? { storeId } : {}),
			...(at === '' ? {} : { freezeAt: at }),
		}),
	);
	return (
		<Page title="Stock take">
			<section>
				<TakeHead choice={props.choice} />
				<div className="take-open">
					<EntryForm
						command={open}
						onSubmit={() => open.run(undefined)}
						foot={
							<Button type="submit" loading={open.busy}>
								Open the stock take
							</Button>
						}
					>
						<p>
							Everything is counted as it stood at one time. Loads logged after that time do not disturb the count, and
							several people may count at once. Nothing is posted until the differences are approved.
						</p>
						<div className="pair">
							<ByInput value={by} onChange={setBy} label="Opened by" />
							<TextInput
								type="datetime-local"
								label="Freeze time"
								description="Left empty: now"
								value={at}
								onChange={(event) => setAt(event.currentTarget.value)}
							/>
						</div>
						<Checkbox
							label="Count blind: the book stays hidden until the counts are compared with it"
							checked={blind}
							onChange={(event) => setBlind(event.currentTarget.checked)}
						/>
						{several && (
							<Checkbox
								label="In every store, each with a stock take of its own"
								checked={every}
								onChange={(event) => setEvery(event.currentTarget.checked)}
							/>
						)}
					</EntryForm>
					<p className="above">
						<Link href="/store/counts">Stock takes so far</Link>
					</p>
				</div>
			</section>
		</Page>
	);
}
