import { type ReactNode, useState } from 'react';
import { QuantityInput } from '../../parts/quantity-input.tsx';

/** Figures typed into a sum of the trade, and the entry of each. */
export function useFigures<Key extends string>(
	first: Readonly<Record<Key, number | null>>,
): {
	readonly entry: Readonly<Record<Key, number | null>>;
	readonly field: (key: Key, label: string, unit: string) => ReactNode;
} {
	const [entry, setEntry] = useState(first);
	const field = (key: Key, label: string, unit: string) => (
		<QuantityInput
			key={key}
			label={label}
			unit={unit}
			min={0.0001}
			value={entry[key]}
			onChange={(value) => setEntry((now) => ({ ...now, [key]: value }))}
		/>
	);
	return { entry, field };
}

export type Result = readonly [name: string, value: string, unit: string];

/** What follows, in figures to read while standing. */
export function Results({ results }: { readonly results: readonly Result[] }) {
	return (
		<div className="two-figures">
			{results.map(([name, value, unit]) => (
				<div key={name}>
					<span className="quiet small">{name}</span>
					<div className="big-figure">
						{value}
						<small>{unit}</small>
					</div>
				</div>
			))}
		</div>
	);
}
