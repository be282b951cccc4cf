import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Product } from '../../../shared/contract/products.ts';
import type { Api } from '../../api.ts';
import { today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm, Facts } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { ProductPick, useProducts } from './product-pick.tsx';
import { size } from './stock-words.ts';
import { StorePick } from './store-pick.tsx';

/** What shelf and book turned out to be apart. */
type CountResult = Awaited<ReturnType<Api['store']['count']>>;
type Props = {
	readonly opened: boolean;
	readonly productId: string | undefined;
	readonly storeId: string | null;
	readonly onClose: () => void;
};

/** A stock take of one product. What the book says is shown after the count, so that it cannot lead the count. */
export function CountDialog({ opened, ...rest }: Props) {
	return (
		<Dialog title="Count one product" opened={opened} onClose={rest.onClose}>
			<CountForm {...rest} />
		</Dialog>
	);
}

function CountForm({ productId, storeId: first, onClose }: Omit<Props, 'opened'>) {
	const farmUnits = useUnits();
	const products = useProducts();
	const [chosen, setChosen] = useState<string | null>(productId ?? null);
	const [full, setFull] = useState<Readonly<Record<string, number | null>>>({});
	const [loose, setLoose] = useState<number | null>(null);
	const [why, setWhy] = useState('stock take');
	const [by, setBy] = useState(useUsualOperator());
	const [storeId, setStoreId] = useState<string | null>(first);
	const [date, setDate] = useState<string | null>(today());
	const product = products.find((each) => each.id === chosen);
	const counted = countedOf(product, full, loose);
	const post = useCommand((api, sum: number, key) =>
		api.store.count({
			key,
			productId: chosen ?? '',
			...(storeId ? { storeId } : {}),
			counted: sum,
			why,
			by,
			...(date && date !== today() ? { date } : {}),
		}),
	);

	function next(): void {
		post.reset();
		setChosen(null);
		setFull({});
		setLoose(null);
	}

	if (post.answer && product)
		return <Counted product={product} counted={counted ?? 0} result={post.answer} onNext={next} onClose={onClose} />;
	return (
		<EntryForm
			command={post}
			onSubmit={() => counted !== null && post.run(counted)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={post.busy} disabled={counted === null}>
						{counted === null || !product ? 'Enter the count' : `Enter ${farmUnits.amount(counted, product.unit)}`}
					</Button>
				</>
			}
		>
			<ProductPick products={products} value={chosen} onChange={setChosen} autoFocus={chosen === null} />
			<StorePick label="In" value={storeId} onChange={setStoreId} />
			{product && (
				<div className="pair">
					{product.packSizes.map((each, index) => (
						<QuantityInput
							key={`${product.id} ${each}`}
							label={`Full ${farmUnits.say(`${size(each)} ${product.unit}`)}`}
							value={full[String(each)] ?? null}
							onChange={(many) => setFull({ ...full, [String(each)]: many })}
							whole
							min={0}
							placeholder="0"
							autoFocus={index === 0 && productId !== undefined}
						/>
					))}
					<QuantityInput
						label="In opened ones"
						unit={product.unit}
						value={loose}
						onChange={setLoose}
						min={0}
						placeholder="0"
					/>
				</div>
			)}
			<div className="pair">
				<DateInput label="Counted on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} label="Counted by" />
			</div>
			<WhyInput value={why} onChange={setWhy} />
			<p className="quiet small">
				An empty shelf is a count too: write 0. Anything posted later for before this count is set off against it.
			</p>
		</EntryForm>
	);
}

function Counted(props: {
	readonly product: Product;
	readonly counted: number;
	readonly result: CountResult;
	readonly onNext: () => void;
	readonly onClose: () => void;
}) {
	const farmUnits = useUnits();
	const { result, product } = props;
	const within = Math.abs(result.difference) <= result.likelySize;
	return (
		<div className="stack">
			<p className="say">{said(result, farmUnits)}</p>
			<Facts
				items={[
					['Counted', farmUnits.amount(props.counted, product.unit)],
					['By the book before', farmUnits.amount(result.bookAmount, product.unit)],
					[
						'Difference posted',
						`${farmUnits.signed(result.difference, product.unit, 2)} ${farmUnits.name(product.unit)}`,
					],
					['What measuring explains', `± ${farmUnits.amount(Number(result.likelySize.toFixed(2)), product.unit)}`],
				]}
			/>
			{result.difference !== 0 && !within && (
				<p>
					<span className="chip">more than measuring explains</span> Look for a delivery that was not booked, or a load
					that was not logged.
				</p>
			)}
			<div className="form-foot">
				<Button variant="default" onClick={props.onClose}>
					Done
				</Button>
				<Button onClick={props.onNext} data-autofocus>
					Count the next product
				</Button>
			</div>
		</div>
	);
}

function said(result: CountResult, farmUnits: Units): string {
	if (result.difference === 0) return 'Shelf and book agree.';
	const much = farmUnits.amount(Math.abs(Number(result.difference.toFixed(3))), result.unit);
	return result.difference > 0
		? `${much} more on the shelf than in the book.`
		: `${much} less on the shelf than in the book.`;
}

/** Full packs times their size, and what is in the opened ones; null until something was entered. */
function countedOf(
	product: Product | undefined,
	full: Readonly<Record<string, number | null>>,
	loose: number | null,
): number | null {
	if (!product) return null;
	const entered = product.packSizes.map((each) => full[String(each)] ?? null);
	if (loose === null && entered.every((many) => many === null)) return null;
	const whole = product.packSizes.reduce((sum, each) => sum + each * (full[String(each)] ?? 0), 0);
	return Number((whole + (loose ?? 0)).toFixed(6));
}
