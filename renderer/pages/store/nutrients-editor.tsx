import { Button } from '@mantine/core';
import type { Product } from '../../../shared/contract/products.ts';
import {
	type NutrientContent,
	nutrientKg,
	nutrientNames,
	nutrients,
	nutrientUnits,
} from '../../../shared/core/products/nutrient.ts';
import { figure } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';

export type NutrientDraft = Omit<NutrientContent, 'content'> & { readonly content: number | null };
type Measured = { readonly unit: Product['unit']; readonly relativeDensity?: number | null | undefined };

/** What a product holds of the nutrients, as the label declares it. */
export function NutrientsEditor(props: {
	readonly value: readonly NutrientDraft[];
	readonly product: Measured;
	readonly onChange: (nutrients: readonly NutrientDraft[]) => void;
}) {
	const { value, product, onChange } = props;
	const change = (at: number, part: Partial<NutrientDraft>) =>
		onChange(value.map((line, index) => (index === at ? { ...line, ...part } : line)));
	const open = nutrients.filter((nutrient) => !value.some((line) => line.nutrient === nutrient));
	const [next] = open;
	return (
		<fieldset className="group stack tight">
			<legend className="entry-label">Nutrients</legend>
			{value.map((line, index) => (
				<div className="editor-line" key={line.nutrient}>
					<Pick
						label="Nutrient"
						options={nutrients
							.filter((nutrient) => nutrient === line.nutrient || open.includes(nutrient))
							.map((nutrient) => ({ value: nutrient, label: `${nutrient}, ${nutrientNames[nutrient]}` }))}
						value={line.nutrient}
						onChange={(nutrient) => nutrient && change(index, { nutrient })}
					/>
					<QuantityInput
						label="Content"
						required
						min={0}
						max={line.contentUnit === '% w/w' ? 100 : 2000}
						value={line.content}
						onChange={(content) => change(index, { content })}
					/>
					<Pick
						label="in"
						options={nutrientUnits.map((unit) => ({ value: unit, label: unit }))}
						value={line.contentUnit}
						onChange={(unit) => unit && change(index, { contentUnit: unit })}
					/>
					<span className="quiet small">{inAmount(line, product)}</span>
					<Button
						variant="subtle"
						size="xs"
						aria-label={`Take off ${nutrientNames[line.nutrient]}`}
						onClick={() => onChange(value.filter((_, at) => at !== index))}
					>
						Take off
					</Button>
				</div>
			))}
			{next && (
				<div>
					<Button
						variant="default"
						size="xs"
						onClick={() =>
							onChange([...value, { nutrient: next, content: null, contentUnit: value.at(-1)?.contentUnit ?? '% w/w' }])
						}
					>
						Add a nutrient
					</Button>
				</div>
			)}
		</fieldset>
	);
}

/** What the entry comes to in the unit the product is measured in. */
function inAmount(
	{ nutrient, content, contentUnit }: NutrientDraft,
	{ unit, relativeDensity = null }: Measured,
): string {
	if (content === null) return 'As on the label';
	const kg = nutrientKg(100, { unit, relativeDensity }, { nutrient, content, contentUnit });
	return kg.ok ? `${figure(kg.value, 2)} kg ${nutrient} in 100 ${unit}` : 'Needs the relative density, above';
}

/** The lines as they are sent. */
export function nutrientsOf(drafts: readonly NutrientDraft[]): NutrientContent[] {
	return drafts.flatMap(({ content, ...rest }) => (content === null ? [] : [{ ...rest, content }]));
}
