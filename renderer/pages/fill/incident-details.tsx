import { Textarea, TextInput } from '@mantine/core';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';

/** A product that may have been lost. */
export type Lost = { readonly productId: string; readonly name: string; readonly unit: string };

export type IncidentDetails = {
	readonly productId: string | null;
	readonly amount: number | null;
	readonly mixL: number | null;
	readonly wentTo: string;
	readonly done: string;
	readonly told: string;
};

export const nothingSaid: IncidentDetails = {
	productId: null,
	amount: null,
	mixL: null,
	wentTo: '',
	done: '',
	told: '',
};

/** What was said, as an incident is logged or completed with it; what is empty is left out. */
export function saidOf({ productId, amount, mixL, wentTo, done, told }: IncidentDetails) {
	return {
		...(productId !== null && amount !== null ? { productId, amount } : {}),
		...(mixL === null ? {} : { mixL }),
		wentTo,
		done,
		told,
	};
}

/** What was lost of an incident, where it went, who was told and what was done. */
export function IncidentDetailsInputs({
	products,
	productKnown = false,
	value,
	onChange,
}: {
	readonly products: readonly Lost[];
	/** The product that was lost is logged already, and posted once. */
	readonly productKnown?: boolean;
	readonly value: IncidentDetails;
	readonly onChange: (part: Partial<IncidentDetails>) => void;
}) {
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
				<QuantityInput
					label="Mix or water lost"
					unit="L"
					min={0}
					value={value.mixL}
					onChange={(mixL) => onChange({ mixL })}
				/>
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
