import { Textarea, TextInput } from '@mantine/core';
import type { ApplicationKind } from '../../../shared/core/loads/application-kind.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { StorePick } from '../store/store-pick.tsx';

/** A product that may have been lost. */
export type Lost = { readonly productId: string; readonly name: string; readonly unit: string };

export type IncidentDetails = {
	readonly productId: string | null;
	/** The store it was lost from; null: the usual one. */
	readonly storeId: string | null;
	readonly amount: number | null;
	readonly mixL: number | null;
	readonly wentTo: string;
	readonly done: string;
	readonly told: string;
};

export const nothingSaid: IncidentDetails = {
	productId: null,
	storeId: null,
	amount: null,
	mixL: null,
	wentTo: '',
	done: '',
	told: '',
};

/** What was said, as an incident is logged or completed with it; what is empty is left out. */
export function saidOf({ productId, storeId, amount, mixL, wentTo, done, told }: IncidentDetails) {
	return {
		...(productId !== null && amount !== null ? { productId, amount, ...(storeId === null ? {} : { storeId }) } : {}),
		...(mixL === null ? {} : { mixL }),
		wentTo,
		done,
		told,
	};
}

/** What runs out beside product as it comes; null: nothing is mixed. */
const mixLabels: Readonly<Record<ApplicationKind, string | null>> = {
	'spray in water': 'Mix or water lost',
	'spray in liquid fertiliser': 'Mix or fertiliser lost',
	'neat liquid': 'Lost out of the tank',
	granules: null,
	'seed treatment': 'Slurry or water lost',
	'closed space': 'Mix or water lost',
};

/** What was lost of an incident, where it went, who was told and what was done. */
export function IncidentDetailsInputs({
	products,
	productKnown = false,
	kind,
	usualStoreId,
	value,
	onChange,
}: {
	readonly products: readonly Lost[];
	/** The product that was lost is logged already, and posted once. */
	readonly productKnown?: boolean;
	/** How the job brings its products out; null: it belongs to no job. */
	readonly kind: ApplicationKind | null;
	/** The store of the job; left out: the first. */
	readonly usualStoreId?: string | undefined;
	readonly value: IncidentDetails;
	readonly onChange: (part: Partial<IncidentDetails>) => void;
}) {
	const mixLabel = mixLabels[kind ?? 'spray in water'];
	const line = products.find(({ productId }) => productId === value.productId);
	return (
		<>
			<div className="pair">
				{!productKnown && (
					<>
						<Pick
							label="Product lost, undiluted"
							clearable
							placeholder="none"
							options={products.map(({ productId, name }) => ({ value: productId, label: name }))}
							value={value.productId}
							onChange={(productId) => onChange({ productId, ...(productId === null ? { amount: null } : {}) })}
						/>
						<QuantityInput
							label="How much of it"
							{...(line ? { unit: line.unit } : {})}
							min={0.000001}
							required={value.productId !== null}
							disabled={value.productId === null}
							value={value.amount}
							onChange={(amount) => onChange({ amount })}
						/>
					</>
				)}
				{!productKnown && value.productId !== null && (
					<StorePick
						label="Out of"
						value={value.storeId ?? usualStoreId ?? null}
						onChange={(storeId) => onChange({ storeId })}
					/>
				)}
				{mixLabel !== null && (
					<QuantityInput label={mixLabel} unit="L" min={0} value={value.mixL} onChange={(mixL) => onChange({ mixL })} />
				)}
			</div>
			<div className="pair">
				<TextInput
					label="Where it went"
					maxLength={300}
					placeholder="tray, concrete, soil, drain"
					value={value.wentTo}
					onChange={(event) => onChange({ wentTo: event.currentTarget.value })}
				/>
				<TextInput
					label="Who was told"
					maxLength={300}
					value={value.told}
					onChange={(event) => onChange({ told: event.currentTarget.value })}
				/>
			</div>
			<Textarea
				label="What was done"
				autosize
				minRows={1}
				maxLength={600}
				value={value.done}
				onChange={(event) => onChange({ done: event.currentTarget.value })}
			/>
		</>
	);
}
