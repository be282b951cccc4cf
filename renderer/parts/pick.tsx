import { Select } from '@mantine/core';
import type { ReactNode } from 'react';

export type Option<Value extends string = string> = { readonly value: Value; readonly label: string };

/** One choice of a list; typing narrows it. The list shows the first hundred that match. */
export function Pick<Value extends string>(props: {
	readonly label: ReactNode;
	readonly options: readonly Option<Value>[];
	readonly value: Value | null;
	readonly onChange: (value: Value | null) => void;
	readonly description?: ReactNode;
	readonly required?: boolean;
	readonly clearable?: boolean;
	readonly placeholder?: string;
	readonly nothingFound?: string;
	readonly autoFocus?: boolean;
	readonly disabled?: boolean;
}) {
	return (
		<Select<Value>
			label={props.label}
			data={props.options.map((option) => ({ value: option.value, label: option.label }))}
			value={props.value}
			onChange={(value) => props.onChange(value)}
			description={props.description}
			required={props.required ?? false}
			disabled={props.disabled ?? false}
			clearable={props.clearable ?? false}
			allowDeselect={props.clearable ?? false}
			placeholder={props.placeholder ?? 'Choose'}
			nothingFoundMessage={props.nothingFound ?? 'Nothing matches'}
			searchable
			limit={100}
			withCheckIcon={false}
			maxDropdownHeight={300}
			comboboxProps={{ transitionProps: { duration: 0 } }}
			{...(props.autoFocus ? { 'data-autofocus': true } : {})}
		/>
	);
}
