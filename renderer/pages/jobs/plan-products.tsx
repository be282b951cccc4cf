import { NativeSelect } from '@mantine/core';
import { useEffect, useRef } from 'react';
import { Link } from 'wouter';
import type { JobPlan } from '../../../shared/contract/jobs-plan.ts';
import type { Product } from '../../../shared/contract/products.ts';
import { type DoseUnit, doseUnitsOf, plainDoseUnit } from '../../../shared/core/loads/dose-units.ts';
import { amount } from '../../format.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { limitWords } from '../store/limit-words.ts';
import { AddPick } from './add-pick.tsx';
import type { ProductLine } from './plan-draft.ts';

type Total = JobPlan['totals']['products'][number];

type Props = {
	readonly products: readonly Product[];
	readonly lines: readonly ProductLine[];
	/** What the job takes of each, once it is planned. */
	readonly totals: readonly Total[] | undefined;
	readonly onChange: (by: (lines: readonly ProductLine[]) => readonly ProductLine[]) => void;
};

/** The products with their doses; stock and what the job takes stand beside, and what is short. */
export function PlanProducts({ products, lines, totals, onChange }: Props) {
	const stock = useProcedure(['store', 'on hand'], (api) => api.store.onHand({}));
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
										line={line}
										inStore={onHand(line.productId)}
										total={totals?.find(({ productId }) => productId === line.productId)}
										onDose={(part) =>
											onChange((now) =>
												now.map((each) => (each.productId === line.productId ? { ...each, ...part } : each)),
											)
										}
										onRemove={() => onChange((now) => now.filter(({ productId }) => productId !== line.productId))}
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
					options={free.map((product) => ({ value: product.id, label: `${product.name} · ${product.formulation}` }))}
					onAdd={(productId) =>
						onChange((now) => [
							...now,
							{ productId, dose: null, unit: plainDoseUnit(byId.get(productId)?.unit ?? 'L') },
						])
					}
					nothingFound="No such product on the books"
				/>
			)}
		</>
	);
}

type LineProps = {
	readonly product: Product;
	readonly line: ProductLine;
	readonly inStore: number | null;
	readonly total: Total | undefined;
	readonly onDose: (part: Partial<Pick<ProductLine, 'dose' | 'unit'>>) => void;
	readonly onRemove: () => void;
};

function Line({ product, line, inStore, total, onDose, onRemove }: LineProps) {
	const row = useRef<HTMLTableRowElement>(null);
	const isNew = useRef(line.dose === null);
	useEffect(() => {
		if (isNew.current) row.current?.querySelector('input')?.focus();
	}, []);
	const label = product.limits.find(({ kind, crop }) => kind === 'singleDose' && crop === undefined);
	return (
		<tr ref={row}>
			<td>
				{product.name} <span className="quiet">{product.formulation}</span>
				{label && <span className="second">label: {lowerFirst(limitWords(label, product.unit))}</span>}
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
						data={[...doseUnitsOf(product.unit)]}
						value={line.unit}
						onChange={(event) => onDose({ unit: event.currentTarget.value as DoseUnit })}
					/>
				</div>
				{total?.dosePerHa !== undefined && line.unit !== `${product.unit}/ha` && (
					<span className="second">= {amount(round(total.dosePerHa), product.unit)}/ha</span>
				)}
			</td>
			<td className="number">{total ? amount(total.amount, product.unit) : <span className="quiet">–</span>}</td>
			<td className="number">
				{amount(inStore, product.unit)}
				{total && total.short > 0 && (
					<>
						<br />
						<span className="chip stop">{amount(total.short, product.unit)} short</span>
						<span className="second">
							<Link href="/store">Book a delivery</Link>
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
	);
}

/** Doses are shown to the thousandth. */
function round(dose: number): number {
	return Math.round(dose * 1000) / 1000;
}

function lowerFirst(words: string): string {
	return words.charAt(0).toLowerCase() + words.slice(1);
}
