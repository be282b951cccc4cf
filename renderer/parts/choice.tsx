import { type ReactNode, useId } from 'react';

export type ChoiceOption<Value extends string> = {
	readonly value: Value;
	readonly label: ReactNode;
	/** A figure at the right of the line. */
	readonly figure?: ReactNode;
	readonly detail?: ReactNode;
	readonly disabled?: boolean;
};

/** One of a few, each on a line of its own with its figure; walked with the arrow keys. */
export function Choice<Value extends string>(props: {
	readonly legend: ReactNode;
	readonly options: readonly ChoiceOption<Value>[];
	readonly value: Value | null;
	readonly onChange: (value: Value) => void;
	readonly required?: boolean;
}) {
	const name = useId();
	return (
		<fieldset className="choice">
			<legend className="entry-label">{props.legend}</legend>
			{props.options.map((option) => (
				<label key={option.value} data-disabled={option.disabled || undefined}>
					<input
						type="radio"
						name={name}
						value={option.value}
						checked={props.value === option.value}
						disabled={option.disabled ?? false}
						required={props.required ?? false}
						onChange={() => props.onChange(option.value)}
					/>
					<span className="what">
						{option.label}
						{option.detail && <span className="second">{option.detail}</span>}
					</span>
					{option.figure !== undefined && <span className="figure">{option.figure}</span>}
				</label>
			))}
		</fieldset>
	);
}
