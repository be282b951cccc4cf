import { TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { writeQuantity } from '../../parts/quantity.ts';
import { readTyped } from '../../parts/typed-unit.ts';

/** Pack sizes in one line: `5, 10, 20`. A decimal is written with a point here, since commas part the sizes. */
export function PackSizes(props: {
	readonly unit: string;
	readonly value: readonly number[];
	readonly onChange: (sizes: number[]) => void;
}) {
	const [text, setText] = useState(props.value.map(writeQuantity).join(', '));
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const trouble = text.trim() !== '' && readSizes(text, props.unit) === null ? 'Write sizes such as 5, 10, 20' : '';
	useEffect(() => {
		input.current?.setCustomValidity(trouble);
	}, [trouble]);
	return (
		<TextInput
			ref={input}
			label="Pack sizes"
			description="With commas between, a point for decimals"
			required
			autoComplete="off"
			value={text}
			error={touched && trouble !== '' ? trouble : undefined}
			onBlur={() => setTouched(true)}
			onChange={(event) => {
				setText(event.currentTarget.value);
				props.onChange(readSizes(event.currentTarget.value, props.unit) ?? []);
			}}
			rightSection={<span className="entry-unit">{props.unit}</span>}
			rightSectionWidth={44}
			rightSectionPointerEvents="none"
		/>
	);
}

function readSizes(text: string, unit: string): number[] | null {
	// A space parts two sizes, but not a size from a unit of its own: `2.5 gal, 1 qt`.
	const parts = text.split(/[,;]\s*|\s+(?=\d)/).filter((part) => part.trim() !== '');
	const sizes = parts.map((part) => readTyped(part, unit));
	const good = sizes.flatMap((read) => (read.state === 'read' && read.value > 0 ? [read.value] : []));
	return good.length === parts.length && good.length > 0 ? [...new Set(good)] : null;
}
