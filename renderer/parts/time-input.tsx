import { TextInput } from '@mantine/core';
import { type ReactNode, useEffect, useRef, useState } from 'react';
import { readTimeOfDay } from './time-of-day.ts';

/** A time of day keyed without a colon: 0710. `HH:MM`, or empty while it is none. */
export function TimeInput(props: {
	readonly label: ReactNode;
	readonly value: string;
	readonly onChange: (time: string) => void;
	readonly description?: ReactNode;
	readonly placeholder?: string;
}) {
	const [text, setText] = useState(props.value);
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const read = readTimeOfDay(text);
	const trouble = text.trim() !== '' && read === null ? 'Write a time, such as 0710' : '';

	useEffect(() => input.current?.setCustomValidity(trouble), [trouble]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: only a time set from outside replaces what is being typed
	useEffect(() => {
		if (props.value !== (readTimeOfDay(text) ?? '')) setText(props.value);
	}, [props.value]);

	return (
		<TextInput
			ref={input}
			label={props.label}
			description={props.description}
			inputMode="numeric"
			autoComplete="off"
			maxLength={6}
			placeholder={props.placeholder ?? ''}
			value={text}
			error={touched && trouble !== '' ? trouble : undefined}
			onChange={(event) => {
				setText(event.currentTarget.value);
				props.onChange(readTimeOfDay(event.currentTarget.value) ?? '');
			}}
			onBlur={() => {
				setTouched(true);
				if (read !== null) setText(read);
			}}
		/>
	);
}
