import { TextInput } from '@mantine/core';
import type { ReactNode } from 'react';

/** A local date, entered the way this computer writes dates. Empty is null. */
export function DateInput(props: {
	readonly label: ReactNode;
	readonly value: string | null;
	readonly onChange: (date: string | null) => void;
	readonly description?: ReactNode;
	readonly required?: boolean;
	readonly min?: string;
	readonly max?: string;
}) {
	return (
		<TextInput
			type="date"
			label={props.label}
			description={props.description}
			required={props.required ?? false}
			min={props.min ?? '1900-01-01'}
			max={props.max ?? '2199-12-31'}
			value={props.value ?? ''}
			onChange={(event) => props.onChange(event.currentTarget.value || null)}
		/>
	);
}
