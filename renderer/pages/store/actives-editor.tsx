import { Button, TextInput } from '@mantine/core';
import type { Product } from '../../../shared/contract/products.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';

type Active = Product['actives'][number];
export type ActiveDraft = Omit<Active, 'content'> & { readonly content: number | null };

const units = [
	{ value: 'g/L', label: 'g/L' },
	{ value: 'g/kg', label: 'g/kg' },
	{ value: '%', label: '%' },
] as const;

/** The active substances with their content, as on the label. */
export function ActivesEditor(props: {
	readonly value: readonly ActiveDraft[];
	readonly onChange: (actives: readonly ActiveDraft[]) => void;
	/** What the product is sold by. */
	readonly unit: 'L' | 'kg';
}) {
	const { value, onChange } = props;
	const change = (at: number, part: Partial<ActiveDraft>) =>
		onChange(value.map((active, index) => (index === at ? { ...active, ...part } : active)));
	return (
		<fieldset className="group stack tight">
			<legend className="entry-label">Active substances</legend>
			{value.map((active, index) => (
				// biome-ignore lint/suspicious/noArrayIndexKey: lines have no name of their own while being typed
				<div className="editor-line" key={index}>
					<TextInput
						label="Substance"
						required
						value={active.substance}
						onChange={(event) => change(index, { substance: event.currentTarget.value })}
					/>
					<QuantityInput
						label="Content"
						required
						min={0.000001}
						value={active.content}
						onChange={(content) => change(index, { content })}
					/>
					<Pick
						label="in"
						options={units}
						value={active.contentUnit}
						onChange={(unit) => unit && change(index, { contentUnit: unit })}
					/>
					<TextInput
						label="Mode of action"
						placeholder="e.g. FRAC 3"
						maxLength={20}
						value={active.modeOfAction ?? ''}
						onChange={(event) => change(index, { modeOfAction: event.currentTarget.value })}
					/>
					<Button
						variant="subtle"
						size="xs"
						aria-label={`Take off ${active.substance || 'this line'}`}
						onClick={() => onChange(value.filter((_, at) => at !== index))}
					>
						Take off
					</Button>
				</div>
			))}
			<div>
				<Button
					variant="default"
					size="xs"
					onClick={() => onChange([...value, { substance: '', content: null, contentUnit: `g/${props.unit}` }])}
				>
					Add a substance
				</Button>
			</div>
		</fieldset>
	);
}

/** The lines as they are sent; an empty group is left out. */
export function activesOf(drafts: readonly ActiveDraft[]): Active[] {
	return drafts.flatMap(({ content, modeOfAction, ...rest }) =>
		content === null
			? []
			: [{ ...rest, content, ...(modeOfAction?.trim() ? { modeOfAction: modeOfAction.trim() } : {}) }],
	);
}
