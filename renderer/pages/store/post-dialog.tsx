import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { StockLine } from '../../../shared/contract/store.ts';
import { amount as amountWords, today } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { ProductPick, useProducts } from './product-pick.tsx';
import { openedWords, packWords } from './stock-words.ts';
import { StorePick, useStores } from './store-pick.tsx';

type Props = {
	readonly opened: boolean;
	readonly productId: string | undefined;
	readonly storeId: string | null;
	readonly onClose: () => void;
};
type Kind = 'disposal' | 'return' | 'spill' | 'transfer' | 'loan';

const kindsOf = (stores: number) => [
	{ value: 'disposal' as const, label: 'Disposal', detail: 'handed over as waste' },
	{ value: 'return' as const, label: 'Return', detail: 'back to the supplier' },
	{ value: 'spill' as const, label: 'Spill', detail: 'lost in the store or while pouring' },
	{
		value: 'transfer' as const,
		label: 'Transfer',
		detail: stores > 1 ? 'to or from a place that is no store on the books' : 'to or from another store of the farm',
	},
	{ value: 'loan' as const, label: 'Loan', detail: 'to or from another farm' },
];

/** Books what leaves or enters the store without a delivery or a load. */
export function PostDialog({ opened, ...rest }: Props) {
	return (
		<Dialog title="Other movement" opened={opened} onClose={rest.onClose}>
			<PostForm {...rest} />
		</Dialog>
	);
}

function PostForm({ productId, storeId: first, onClose }: Omit<Props, 'opened'>) {
	const products = useProducts();
	const [chosen, setChosen] = useState<string | null>(productId ?? null);
	const [kind, setKind] = useState<Kind | null>(null);
	const [way, setWay] = useState<'out' | 'in'>('out');
	const [amount, setAmount] = useState<number | null>(null);
	const [date, setDate] = useState<string | null>(today());
	const [why, setWhy] = useState('');
	const [document, setDocument] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const { say } = useUnits();
	const product = products.find((each) => each.id === chosen);
	const stores = useStores();
	const [storeId, setStoreId] = useState<string | null>(first);
	const from = storeId ?? stores[0]?.storeId;
	const stock = useProcedure(['store', 'on hand', from], (api) => api.store.onHand(from ? { storeId: from } : {}));
	const line = stock.answer?.find((each) => each.productId === chosen);
	const stands = line && say(standsWords(line, kind, way));
	const bothWays = kind === 'transfer' || kind === 'loan';
	const post = useCommand(
		(api, entry: { readonly kind: Kind; readonly amount: number }, key) =>
			api.store.post({
				key,
				productId: chosen ?? '',
				...(storeId ? { storeId } : {}),
				kind: entry.kind,
				amount: bothWays && way === 'in' ? -entry.amount : entry.amount,
				why,
				by,
				...(date ? { date } : {}),
				...(document.trim() ? { document } : {}),
			}),
		onClose,
	);
	return (
		<EntryForm
			command={post}
			onSubmit={() => kind && amount !== null && post.run({ kind, amount })}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={post.busy}>
						Book it
					</Button>
				</>
			}
		>
			<ProductPick products={products} value={chosen} onChange={setChosen} />
			<StorePick label="Store" value={storeId} onChange={setStoreId} />
			<Choice<Kind> legend="What happened" options={kindsOf(stores.length)} value={kind} onChange={setKind} required />
			{bothWays && (
				<Choice
					legend="Which way"
					value={way}
					onChange={setWay}
					options={[
						{ value: 'out', label: 'Left this store' },
						{ value: 'in', label: 'Came into this store' },
					]}
				/>
			)}
			<div className="pair">
				<QuantityInput
					label="Amount"
					unit={product?.unit ?? ''}
					description={stands}
					required
					min={0.000001}
					value={amount}
					onChange={setAmount}
				/>
				<DateInput label="On" value={date} onChange={setDate} max={today()} required />
			</div>
			<div className="pair">
				<WhyInput value={why} onChange={setWhy} />
				<TextInput
					label="Document"
					description="Receipt or waste note, if there is one"
					maxLength={120}
					value={document}
					onChange={(event) => setDocument(event.currentTarget.value)}
				/>
			</div>
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}

/** What could leave, or what is out and could come back. */
function standsWords(line: StockLine, kind: Kind | null, way: 'out' | 'in'): string {
	const out = kind === 'loan' ? line.onLoan : line.elsewhere;
	if (way === 'in' && out > 0)
		return `${amountWords(out, line.unit)} went ${kind === 'loan' ? 'on loan' : 'to other stores'}`;
	const opened = line.opened.length > 0 ? `; opened: ${openedWords(line.opened, line.unit)}` : '';
	return `There: ${packWords(line.packs, line.unit)}${opened}`;
}
