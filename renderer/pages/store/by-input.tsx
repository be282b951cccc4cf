import { TextInput } from '@mantine/core';
import { useProcedure } from '../../use-procedure.ts';

/** Who usually sprays, from the settings; what a form offers first. */
export function useUsualOperator(): string {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	return settings.answer?.operator ?? '';
}

/** Who did it; stands in the ledger beside the posting. */
export function ByInput(props: {
	readonly value: string;
	readonly onChange: (by: string) => void;
	readonly label?: string;
}) {
	return (
		<TextInput
			label={props.label ?? 'By'}
			required
			maxLength={100}
			autoComplete="off"
			value={props.value}
			onChange={(event) => props.onChange(event.currentTarget.value)}
		/>
	);
}
