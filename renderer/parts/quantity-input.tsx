import { TextInput } from '@mantine/core';
import { type ReactNode, useEffect, useRef, useState } from 'react';
import { writeQuantity } from './quantity.ts';
import { readTyped } from './typed-unit.ts';

/**
 * A number with its unit. Takes a comma or a point, has no arrows that a wheel could turn, and says what it cannot read;
 * an unreadable entry keeps the form from being sent. Typed with another unit it is converted: `800 gal` into litres.
 */
export function QuantityInput(props: {
	readonly label: ReactNode;
	readonly value: number | null;
	readonly onChange: (value: number | null) => void;
	readonly unit?: string;
	readonly description?: ReactNode;
	readonly required?: boolean;
	readonly min?: number;
	readonly max?: number;
	/** Must be a whole number: packs, loads, records. */
	readonly whole?: boolean;
	readonly autoFocus?: boolean;
	readonly placeholder?: string;
	readonly error?: ReactNode;
	readonly name?: string;
	readonly disabled?: boolean;
}) {
	const [text, setText] = useState(() => writeQuantity(props.value));
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const read = readTyped(text, props.unit);
	const trouble = read.state === 'unclear' ? read.why : read.state === 'read' ? outside(read.value, props) : '';

	useEffect(() => {
		input.current?.setCustomValidity(trouble);
	}, [trouble]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: only a value set from outside replaces what is being typed
	useEffect(() => {
		const shown = readTyped(text, props.unit);
		const shownValue = shown.state === 'read' ? shown.value : null;
		if (shownValue !== props.value && (props.value !== null || shown.state === 'read'))
			setText(writeQuantity(props.value));
	}, [props.value]);

	function change(typed: string): void {
		setText(typed);
		const now = readTyped(typed, props.unit);
		props.onChange(now.state === 'read' ? now.value : null);
	}

	return (
		<TextInput
			ref={input}
			label={props.label}
			description={
				read.state === 'read' && read.converted ? `= ${writeQuantity(read.value)} ${props.unit}` : props.description
			}
			required={props.required ?? false}
			disabled={props.disabled ?? false}
			inputMode="decimal"
			autoComplete="off"
			data-quantity
			{...(props.name === undefined ? {} : { name: props.name })}
			{...(props.placeholder === undefined ? {} : { placeholder: props.placeholder })}
			{...(props.autoFocus ? { 'data-autofocus': true } : {})}
			value={text}
			error={props.error ?? (touched && trouble !== '' ? trouble : undefined)}
			onChange={(event) => change(event.currentTarget.value)}
			onBlur={() => {
				setTouched(true);
				if (read.state === 'read') setText(writeQuantity(read.value));
			}}
			rightSection={props.unit ? <span className="entry-unit">{props.unit}</span> : undefined}
			rightSectionWidth={props.unit ? 22 + props.unit.length * 9 : undefined}
			rightSectionPointerEvents="none"
		/>
	);
}

function outside(
	value: number,
	bounds: { readonly min?: number; readonly max?: number; readonly whole?: boolean },
): string {
	if (bounds.whole && !Number.isInteger(value)) return 'Write a whole number';
	if (bounds.min !== undefined && value < bounds.min) return `Not below ${writeQuantity(bounds.min)}`;
	if (bounds.max !== undefined && value > bounds.max) return `Not above ${writeQuantity(bounds.max)}`;
	return '';
}
