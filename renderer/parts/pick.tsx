import { type ComboboxItem, type ComboboxParsedItem, Select } from '@mantine/core';
import type { ReactNode } from 'react';
import { pickOnEnter } from './pick-on-enter.ts';

export type Option<Value extends string = string> = {
	readonly value: Value;
	readonly label: string;
	/** A second line in the list. */
	readonly detail?: string;
};

/** One choice of a list; typing narrows it. The list shows the first hundred that match. */
export function Pick<Value extends string>(props: {
	readonly label: ReactNode;
	readonly options: readonly Option<Value>[];
	readonly value: Value | null;
	readonly onChange: (value: Value | null) => void;
	readonly description?: ReactNode;
	/** A line below, about what is chosen. */
	readonly under?: ReactNode;
	readonly required?: boolean;
	readonly clearable?: boolean;
	readonly placeholder?: string;
	readonly nothingFound?: string;
	readonly autoFocus?: boolean;
	readonly disabled?: boolean;
}) {
	const chosen = props.options.find(({ value }) => value === props.value)?.label;
	const details = new Map(props.options.map(({ value, detail }) => [value, detail]));
	const hasDetails = props.options.some(({ detail }) => detail !== undefined);
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
			// Enter on what stands goes on; to take it back the text is emptied, or its cross pressed.
			allowDeselect={false}
			onInput={(event) => {
				if (props.clearable && chosen !== undefined && event.currentTarget.value === '') props.onChange(null);
			}}
			placeholder={props.placeholder ?? 'Choose'}
			nothingFoundMessage={props.nothingFound ?? 'Nothing matches'}
			searchable
			// What is chosen already is typed over, not added to.
			onClick={(event) => event.currentTarget.select()}
			selectFirstOptionOnChange
			onKeyDownCapture={pickOnEnter((text) => text.trim() !== '' && text !== chosen)}
			filter={({ options, search, limit }) => ranked(options.filter(isItem<Value>), search).slice(0, limit)}
			limit={100}
			withCheckIcon={false}
			maxDropdownHeight={300}
			comboboxProps={{
				transitionProps: { duration: 0 },
				...(hasDetails ? { width: 'max-content', position: 'bottom-start' } : {}),
			}}
			{...(hasDetails
				? {
						renderOption: ({ option }) => (
							<span className="option-lines">
								{option.label}
								<span className="second">{details.get(option.value as Value)}</span>
							</span>
						),
					}
				: {})}
			{...(props.under === undefined || props.under === null
				? {}
				: { inputWrapperOrder: ['label', 'input', 'description'] as const, description: props.under })}
			{...(props.autoFocus ? { 'data-autofocus': true } : {})}
		/>
	);
}

function isItem<Value extends string>(option: ComboboxParsedItem<Value>): option is ComboboxItem<Value> {
	return 'value' in option;
}

/** What begins with the letters typed stands first, then what has a word that does: `SC` finds SC before "miscible". */
function ranked<Value extends string>(options: readonly ComboboxItem<Value>[], search: string): ComboboxItem<Value>[] {
	const wanted = search.trim().toLocaleLowerCase();
	if (wanted === '') return [...options];
	return options
		.map((option) => ({ option, rank: rankOf(option.label.toLocaleLowerCase(), wanted) }))
		.filter((each) => each.rank < NO_MATCH)
		.sort((a, b) => a.rank - b.rank)
		.map((each) => each.option);
}

const NO_MATCH = 4;

function rankOf(label: string, wanted: string): number {
	if (label === wanted || label.startsWith(`${wanted} `)) return 0;
	if (label.startsWith(wanted)) return 1;
	if (label.includes(` ${wanted}`)) return 2;
	return label.includes(wanted) ? 3 : NO_MATCH;
}
