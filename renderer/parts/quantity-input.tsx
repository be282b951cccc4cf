import { TextInput } from '@mantine/core';
import { type ReactNode, useEffect, useRef, useState } from 'react';
import { useUnits } from '../units.ts';
import { entryIn } from './typed-unit.ts';

/**
 * A number with its unit. Takes a comma or a point, has no arrows that a wheel could turn, and says what it cannot read;
 * an unreadable entry keeps the form from being sent. Typed with another unit it is converted: `800 gal` into litres.
 * The unit asked for is metric, as is the value; what stands in the entry is in the units of the farm.
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
	const { units } = useUnits();
	const [first] = useState(props.value);
	const entry = entryIn(units, props.unit, first);
	const [text, setText] = useState(() => entry.write(props.value));
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const asked = useRef({ unit: entry.unit, value: props.value });
	const read = readAs(text);
	const trouble =
		read.state === 'unclear' ? read.why : read.state === 'read' ? outside(read.value, props, entry.write) : '';

	useEffect(() => {
		input.current?.setCustomValidity(trouble);
	}, [trouble]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: only a value set from outside replaces what is being typed
	useEffect(() => {
		const shown = readAs(text);
		const shownValue = shown.state === 'read' ? shown.value : null;
		if (shownValue !== props.value && (props.value !== null || shown.state === 'read'))
			setText(entry.write(props.value));
	}, [props.value]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: another unit under the same figure, as when another product is chosen
	useEffect(() => {
		const { unit, value } = asked.current;
		asked.current = { unit: entry.unit, value: props.value };
		if (units === 'metric' || unit === entry.unit || value !== props.value || value === null) return;
		const now = entry.read(text);
		if (now.state === 'read') props.onChange(now.value);
	}, [entry.unit, props.value]);

	/** What stands there because it was written there is that value to the last digit. */
	function readAs(typed: string) {
		const isWritten = props.value !== null && typed === entry.write(props.value);
		return isWritten ? ({ state: 'read', value: props.value } as const) : entry.read(typed);
	}

	/** `usual 12`: a figure that is offered stands in the unit of the entry. */
	function inEntry(placeholder: string): string {
		if (entry.unit === props.unit) return placeholder;
		return placeholder.replace(/\d[\d,.]*$/, (figure) => entry.write(Number(figure.replaceAll(',', ''))));
	}

	function change(typed: string): void {
		setText(typed);
		const now = entry.read(typed);
		props.onChange(now.state === 'read' ? now.value : null);
	}

	return (
		<TextInput
			ref={input}
			label={props.label}
			description={
				read.state === 'read' && 'converted' in read ? `= ${entry.write(read.value)} ${entry.unit}` : props.description
			}
			required={props.required ?? false}
			disabled={props.disabled ?? false}
			inputMode="decimal"
			autoComplete="off"
			data-quantity
			{...(props.name === undefined ? {} : { name: props.name })}
			{...(props.placeholder === undefined ? {} : { placeholder: inEntry(props.placeholder) })}
			{...(props.autoFocus ? { 'data-autofocus': true } : {})}
			value={text}
			error={props.error ?? (touched && trouble !== '' ? trouble : undefined)}
			onChange={(event) => change(event.currentTarget.value)}
			onBlur={() => {
				setTouched(true);
				if (read.state === 'read') setText(entry.write(read.value));
			}}
			rightSection={entry.unit ? <span className="entry-unit">{entry.unit}</span> : undefined}
			rightSectionWidth={entry.unit ? 22 + entry.unit.length * 9 : undefined}
			rightSectionPointerEvents="none"
		/>
	);
}

function outside(
	value: number,
	bounds: { readonly min?: number; readonly max?: number; readonly whole?: boolean },
	write: (value: number) => string,
): string {
	if (bounds.whole && !Number.isInteger(value)) return 'Write a whole number';
	if (bounds.min !== undefined && value < bounds.min) return `Not below ${write(bounds.min)}`;
	if (bounds.max !== undefined && value > bounds.max) return `Not above ${write(bounds.max)}`;
	return '';
}
