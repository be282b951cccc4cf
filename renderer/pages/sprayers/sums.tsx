import { type ReactNode, useState } from 'react';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';

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

/** A figure in its metric unit, or as it is said. */
export type Result = readonly [name: string, value: number | string, unit: string, decimals?: number];

/** What follows, in figures to read while standing. */
export function Results({ results }: { readonly results: readonly Result[] }) {
	const { figure, name: nameOf } = useUnits();
	return (
		<div className="two-figures">
			{results.map(([name, value, unit, decimals]) => (
				<div key={name}>
					<span className="quiet small">{name}</span>
					<div className="big-figure">
						{typeof value === 'string' ? value : figure(value, unit, decimals)}
						<small>{nameOf(unit)}</small>
					</div>
				</div>
			))}
		</div>
	);
}
