import { Checkbox } from '@mantine/core';
import type { Product } from '../../../shared/contract/products.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { size } from './stock-words.ts';

type Closure = Product['closures'][number];

/** Cap, foil and coupling of each pack size. A size nobody touched stays not looked at. */
export function ClosuresEditor(props: {
	readonly unit: string;
	readonly sizes: readonly number[];
	readonly value: readonly Closure[];
	readonly onChange: (closures: Closure[]) => void;
}) {
	const { say } = useUnits();
	if (props.sizes.length === 0) return null;
	const of = (each: number): Closure =>
		props.value.find((closure) => closure.size === each) ?? { size: each, foil: false, closedTransfer: false };
	const put = (next: Closure) =>
		props.onChange(
			[...props.value.filter((closure) => closure.size !== next.size), next].sort((a, b) => a.size - b.size),
		);
	return (
		<fieldset className="group stack tight">
			<legend className="entry-label">How the packs are closed</legend>
			{props.sizes.map((each) => {
				const what = say(`${size(each)} ${props.unit}`);
				const closure = of(each);
				return (
					<div className="closure-line" key={each}>
						<b>{what}</b>
						<QuantityInput
							label={`Cap of ${what}`}
							unit="mm"
							min={1}
							max={200}
							value={closure.capMm ?? null}
							onChange={(mm) => {
								const { capMm: _, ...rest } = closure;
								put(mm === null ? rest : { ...rest, capMm: mm });
							}}
						/>
						<Checkbox
							label="Foil under it"
							aria-label={`${what}: foil under the cap`}
							checked={closure.foil}
							onChange={(event) => put({ ...closure, foil: event.currentTarget.checked })}
						/>
						<Checkbox
							label="Fits closed transfer"
							aria-label={`${what}: fits closed transfer`}
							checked={closure.closedTransfer}
							onChange={(event) => put({ ...closure, closedTransfer: event.currentTarget.checked })}
						/>
					</div>
				);
			})}
		</fieldset>
	);
}
