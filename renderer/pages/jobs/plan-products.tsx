import { Button, NativeSelect } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { Link } from 'wouter';
import type { JobPlan, PlannedLoad } from '../../../shared/contract/jobs-plan.ts';
import type { Product } from '../../../shared/contract/products.ts';
import { type DoseUnit, doseOf } from '../../../shared/core/loads/dose-units.ts';
import { amount, formulationAfter, productName, shortDate } from '../../format.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { DeliveryDialog } from '../store/delivery-dialog.tsx';
import { limitWords } from '../store/limit-words.ts';
import { useStores } from '../store/store-pick.tsx';
import { AddPick } from './add-pick.tsx';
import type { ProductLine } from './plan-draft.ts';

type Total = JobPlan['totals']['products'][number];

type Props = {
	readonly products: readonly Product[];
	/** The units a dose may be given in, the usual one first. */
	readonly unitsOf: (unit: 'L' | 'kg') => readonly DoseUnit[];
	readonly lines: readonly ProductLine[];
	/** What the job takes of each, once it is planned. */
	readonly totals: readonly Total[] | undefined;
	/** The loads it is split into, each with the shelf lines it takes from. */
	readonly loads?: readonly PlannedLoad[] | undefined;
	/** The store the job draws from; null: the first. */
	readonly storeId: string | null;
	readonly onChange: (by: (lines: readonly ProductLine[]) => readonly ProductLine[]) => void;
};

/** The products with their doses; stock and what the job takes stand beside, and what is short. */
export function PlanProducts({ products, unitsOf, lines, totals, loads = [], storeId, onChange }: Props) {
	const farmUnits = useUnits();
	const [delivering, setDelivering] = useState<string>();
	const stores = useStores();
	const from = stores.length > 1 ? (storeId ?? stores[0]?.storeId) : undefined;
	const stock = useProcedure(['store', 'on hand', from], (api) => api.store.onHand(from ? { storeId: from } : {}));
	const byId = new Map(products.map((product) => [product.id, product]));
	const taken = new Set(lines.map(({ productId }) => productId));
	const free = products.filter(({ id }) => !taken.has(id));
	const onHand = (productId: string) =>
		stock.answer?.find((line) => line.productId === productId)?.amount ?? (stock.answer ? 0 : null);
	return (
		<>
			<h2>Products and doses</h2>
			{lines.length > 0 && (
				<table className="table plan-lines" aria-label="Products and doses">
					<thead>
						<tr>
							<th scope="col">Product</th>
							<th scope="col" className="number">
								dose
							</th>
							<th scope="col" className="number">
								the job takes
							</th>
							<th scope="col" className="number">
								in the store
							</th>
							<th scope="col">
								<span className="visually-hidden">Take out</span>
							</th>
						</tr>
					</thead>
					<tbody>
						{lines.map((line) => {
							const product = byId.get(line.productId);
							return (
								product && (
									<Line
										key={line.productId}
										product={product}
										units={unitsOf(product.unit)}
										line={line}
										shelf={shelfWords(loads, line.productId, product.unit, farmUnits)}
										inStore={onHand(line.productId)}
										total={totals?.find(({ productId }) => productId === line.productId)}
										onDose={(part) =>
											onChange((now) =>
												now.map((each) => (each.productId === line.productId ? { ...each, ...part } : each)),
											)
										}
										onRemove={() => onChange((now) => now.filter(({ productId }) => productId !== line.productId))}
										onDeliver={() => setDelivering(line.productId)}
									/>
								)
							);
						})}
					</tbody>
				</table>
			)}
			{free.length > 0 && (
				<AddPick
					label={lines.length > 0 ? 'Another product' : 'Product'}
					options={free.map((product) => ({
						value: product.id,
						label: productName(product.name, product.formulation),
					}))}
					onAdd={(productId) =>
						onChange((now) => [
							...now,
							{
								productId,
								dose: null,
								unit: usualUnit(byId.get(productId), unitsOf(byId.get(productId)?.unit ?? 'L')),
							},
						])
					}
					nothingFound="No such product on the books"
				/>
			)}
			<DeliveryDialog
				storeId={storeId}
				opened={delivering !== undefined}
				productId={delivering}
				onClose={() => setDelivering(undefined)}
			/>
		</>
	);
}

/** A wetter goes by its share of the mix, all else by the hectare. */
function usualUnit(product: Product | undefined, units: readonly DoseUnit[]): DoseUnit {
	const share = product?.kind === 'surfactant' ? units.find((unit) => unit === '% v/v') : undefined;
	return share ?? units[0] ?? 'L/ha';
}

type LineProps = {
	readonly product: Product;
	readonly units: readonly DoseUnit[];
	readonly line: ProductLine;
	/** From which batches it is taken, in words. */
	readonly shelf: string;
	readonly inStore: number | null;
	readonly total: Total | undefined;
	readonly onDose: (part: Partial<Pick<ProductLine, 'dose' | 'unit'>>) => void;
	readonly onRemove: () => void;
	readonly onDeliver: () => void;
};

function Line({ product, units, line, shelf, inStore, total, onDose, onRemove, onDeliver }: LineProps) {
	const farmUnits = useUnits();
	const row = useRef<HTMLTableRowElement>(null);
	const isNew = useRef(line.dose === null);
	useEffect(() => {
		if (isNew.current) row.current?.querySelector('input')?.focus();
	}, []);
	const label = product.limits.find(
		({ kind, crop, doseUnit }) => kind === 'singleDose' && crop === undefined && isFor(doseUnit, line.unit),
	);
	const beneath = [
		shelf,
		label ? `label: ${farmUnits.say(lowerFirst(onSeed(limitWords(label, product.unit), line.unit)))}` : '',
	].filter(Boolean);
	return (
		<>
			<tr ref={row} className={beneath.length > 0 ? 'led' : undefined}>
				<td>
					{product.name} <span className="quiet">{formulationAfter(product.name, product.formulation)}</span>
				</td>
				<td className="dose-cell">
					<div className="dose">
						<QuantityInput
							label={`Dose of ${product.name}`}
							min={0.000001}
							value={line.dose}
							onChange={(dose) => onDose({ dose })}
						/>
						<NativeSelect
							aria-label={`Unit of the dose of ${product.name}`}
							data={units.includes(line.unit) ? [...units] : [...units, line.unit]}
							value={line.unit}
							onChange={(event) => onDose({ unit: event.currentTarget.value as DoseUnit })}
						/>
					</div>
					{total?.dosePerHa !== undefined && line.unit !== `${product.unit}/ha` && (
						<span className="second">= {farmUnits.say(`${amount(round(total.dosePerHa), product.unit)}/ha`)}</span>
					)}
				</td>
				<td className="number">
					{total ? farmUnits.amount(total.amount, product.unit) : <span className="quiet">–</span>}
				</td>
				<td className="number">
					{farmUnits.amount(inStore, product.unit)}
					{total && total.short > 0 && (
						<>
							<br />
							<span className="chip stop">{farmUnits.amount(total.short, product.unit)} short</span>
							{total.elsewhere?.map((each) => (
								<span className="second" key={each.storeId}>
									{each.store}: {farmUnits.amount(each.amount, product.unit)}
								</span>
							))}
							<span className="second">
								{total.elsewhere ? (
									<Link href="/store">Move it or book a delivery</Link>
								) : (
									<Button variant="subtle" size="compact-sm" onClick={onDeliver}>
										Book a delivery
									</Button>
								)}
							</span>
						</>
					)}
				</td>
				<td className="acts">
					<button type="button" className="act" aria-label={`Take out ${product.name}`} onClick={onRemove}>
						×
					</button>
				</td>
			</tr>
			{beneath.length > 0 && (
				<tr className="beneath">
					<td colSpan={5}>{beneath.join(' · ')}</td>
				</tr>
			)}
		</>
	);
}

/** `from batch S1 to Dec 2026 13.5 L, batch L9 10.5 L`: opened first, then what expires first. */
function shelfWords(loads: readonly PlannedLoad[], productId: string, unit: string, farmUnits: Units): string {
	const takes = loads.flatMap(({ products }) => products.find((line) => line.productId === productId)?.takes ?? []);
	const held = takes.filter(({ what }) => what !== 'not in the store');
	const lines = Map.groupBy(held, ({ batch, expires }) => JSON.stringify([batch, expires]));
	const words = [...lines].map(([key, parts]) => {
		const [batch, expires] = JSON.parse(key) as [string | null, string | null];
		const until = expires === null ? '' : `, expires ${shortDate(expires)}`;
		return `${batch === null ? 'packs without a batch' : `batch ${batch}`}${until}: ${takenWords(parts, unit, farmUnits)}`;
	});
	const plain = words.length === 0 || (words.length === 1 && held[0]?.batch === null && held[0]?.expires === null);
	if (plain) return held[0]?.what === 'opened' ? `the opened ${farmUnits.amount(held[0].amount, unit)} first` : '';
	return `from the shelf: ${words.join('; ')}`;
}

/** `the opened 0.77 kg, then 3.16 kg`: the opened one is emptied first. */
function takenWords(
	parts: readonly { readonly what: string; readonly amount: number }[],
	unit: string,
	farmUnits: Units,
): string {
	const sum = (some: typeof parts) => Math.round(some.reduce((total, part) => total + part.amount, 0) * 1000) / 1000;
	const first = parts[0]?.what === 'opened' ? parts[0].amount : 0;
	if (first === 0) return farmUnits.amount(sum(parts), unit);
	const rest = sum(parts.slice(1));
	return `the opened ${farmUnits.amount(first, unit)}${rest > 0 ? `, then ${farmUnits.amount(rest, unit)}` : ''}`;
}

/** Doses are shown to the thousandth. */
function round(dose: number): number {
	return Math.round(dose * 1000) / 1000;
}

/** A single dose on the label of a seed treatment is to the seed. */
function onSeed(words: string, unit: DoseUnit): string {
	const { way } = doseOf({ value: 0, unit });
	if (way !== 'dosePer100Kg' && way !== 'dosePerUnit') return words;
	return words.replace('/ha', way === 'dosePer100Kg' ? '/100 kg' : '/unit');
}

/** A dose the label gives for closed spaces stands beside one in a closed space, any other beside any other. */
function isFor(given: DoseUnit | undefined, unit: DoseUnit): boolean {
	const indoors = (each: DoseUnit) => /\/(1000 )?m³|\/(100 )?m²/.test(each);
	if (given === undefined) return !indoors(unit);
	return doseOf({ value: 0, unit: given }).way === doseOf({ value: 0, unit }).way;
}

function lowerFirst(words: string): string {
	return words.charAt(0).toLowerCase() + words.slice(1);
}
