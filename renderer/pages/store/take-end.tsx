import { Button } from '@mantine/core';
import { useState } from 'react';
import type { TakeLine } from '../../../shared/contract/stock-take.ts';
import { count } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';

/** What is left to say before it can be signed, and the signing. */
export function ApproveTake({ takeId, lines }: { readonly takeId: string; readonly lines: readonly TakeLine[] }) {
	const [opened, setOpened] = useState(false);
	const counted = lines.filter((line) => line.counted !== null);
	const words = counted.filter((line) => line.beyond && line.verdict === null).length;
	const apart = counted.filter((line) => line.difference !== 0 && line.verdict !== 'open').length;
	const open = counted.filter((line) => line.verdict === 'open').length;
	return (
		<div className="row spread take-sign screen-only">
			<span>
				{counted.length === 0
					? 'Nothing was counted yet.'
					: words > 0
						? `${count(words, 'difference')} more than measuring explains: accept each with a reason, or leave it open.`
						: `Every difference is settled: ${count(apart, 'adjustment')} to post, ${open} left open.`}
			</span>
			<Button disabled={counted.length === 0 || words > 0} onClick={() => setOpened(true)}>
				Approve and post
			</Button>
			<Dialog title="Approve the stock take" opened={opened} onClose={() => setOpened(false)}>
				<SignForm takeId={takeId} lines={lines} apart={apart} onClose={() => setOpened(false)} />
			</Dialog>
		</div>
	);
}

function SignForm(props: {
	readonly takeId: string;
	readonly lines: readonly TakeLine[];
	readonly apart: number;
	readonly onClose: () => void;
}) {
	const [by, setBy] = useState(useUsualOperator());
	const approve = useCommand(
		(api, _: undefined, key) => api.store.approveStockTake({ key, takeId: props.takeId, by }),
		props.onClose,
	);
	const left = props.lines.filter((line) => line.counted === null);
	return (
		<EntryForm
			command={approve}
			onSubmit={() => approve.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={props.onClose}>
						Not yet
					</Button>
					<Button type="submit" loading={approve.busy}>
						Post {count(props.apart, 'adjustment')}
					</Button>
				</>
			}
		>
			<p>The book is put right as of the freeze time. Posted lines are never changed; another count corrects them.</p>
			{left.length > 0 && (
				<p>
					<span className="chip">{count(left.length, 'product')} not counted</span>{' '}
					{left.map(({ name }) => name).join(', ')}: the book stays as it is.
				</p>
			)}
			<ByInput value={by} onChange={setBy} label="Approved by" />
		</EntryForm>
	);
}

/** Ends a stock take that is not to be used. */
export function DropTake({ takeId }: { readonly takeId: string }) {
	const [opened, setOpened] = useState(false);
	return (
		<>
			<Button variant="subtle" onClick={() => setOpened(true)}>
				Drop this stock take
			</Button>
			<Dialog title="Drop the stock take" opened={opened} onClose={() => setOpened(false)}>
				<DropForm takeId={takeId} onClose={() => setOpened(false)} />
			</Dialog>
		</>
	);
}

function DropForm({ takeId, onClose }: { readonly takeId: string; readonly onClose: () => void }) {
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const drop = useCommand((api, _: undefined, key) => api.store.dropStockTake({ key, takeId, why, by }), onClose);
	return (
		<EntryForm
			command={drop}
			onSubmit={() => drop.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Go on counting
					</Button>
					<Button type="submit" loading={drop.busy}>
						Drop it
					</Button>
				</>
			}
		>
			<p>Nothing is posted. What was entered stays on the books, but counts for nothing.</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}
