import { TextInput } from '@mantine/core';

type Grown = { readonly crop: string; readonly eppoCode: string };

/** The crop on seed or in a closed space, with its EPPO code. */
export function CropAndCode(props: {
	readonly of: Grown;
	readonly label: string;
	readonly description?: string;
	readonly onChange: (part: Partial<Grown>) => void;
}) {
	const { of, label, description, onChange } = props;
	return (
		<>
			<TextInput
				label={label}
				description={description}
				required
				maxLength={100}
				value={of.crop}
				onChange={(event) => onChange({ crop: event.currentTarget.value })}
			/>
			<TextInput
				label="EPPO code"
				maxLength={12}
				value={of.eppoCode}
				onChange={(event) => onChange({ eppoCode: event.currentTarget.value.toUpperCase() })}
			/>
		</>
	);
}
