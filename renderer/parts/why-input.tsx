import { TextInput } from '@mantine/core';

/** The reason of an entry, which stays beside it on the books. */
export function WhyInput(props: {
	readonly value: string;
	readonly onChange: (why: string) => void;
	readonly description?: string;
	/** Where the cursor stands when the form opens. */
	readonly first?: boolean;
}) {
	return (
		<TextInput
			label="Why"
			{...(props.description === undefined ? {} : { description: props.description })}
			required
			maxLength={200}
			{...(props.first ? { 'data-autofocus': true } : {})}
			value={props.value}
			onChange={(event) => props.onChange(event.currentTarget.value)}
		/>
	);
}
