import { Textarea } from '@mantine/core';

/** Why a job goes on against its warnings. */
export function OverrideWhy({ value, onChange }: { readonly value: string; readonly onChange: (why: string) => void }) {
	return (
		<Textarea
			label="Why it goes on against the warning"
			description="Stays with the job and on its records"
			required
			autosize
			minRows={2}
			maxLength={4000}
			value={value}
			onChange={(event) => onChange(event.currentTarget.value)}
		/>
	);
}
