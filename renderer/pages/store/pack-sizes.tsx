import { TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { type Entry, entryIn } from '../../parts/typed-unit.ts';
import { useUnits } from '../../units.ts';

/**
 * Pack sizes in one line: `5, 10, 20`. A decimal is written with a point here, since commas part the sizes. They stand in
 * the units of the farm; one that was there already stays the same to the last digit.
 */
export function PackSizes(props: {
	readonly unit: string;
	readonly value: readonly number[];
	readonly onChange: (sizes: number[]) => void;
}) {
	const { units } = useUnits();
	const [first] = useState({ unit: props.unit, sizes: props.value });
	const entry = entryIn(units, props.unit, first.sizes.length === 0 ? null : Math.max(...first.sizes));
	const known = first.unit === props.unit ? first.sizes : [];
	const [text, setText] = useState(first.sizes.map(entry.write).join(', '));
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const trouble = text.trim() !== '' && readSizes(text, entry, known) === null ? 'Write sizes such as 5, 10, 20' : '';
	useEffect(() => {
		input.current?.setCustomValidity(trouble);
	}, [trouble]);
	const asked = useRef(props.unit);
	useEffect(() => {
		if (asked.current === props.unit) return;
		asked.current = props.unit;
		// Under another unit the same figures are other sizes, where what stands there is turned over.
		if (units !== 'metric') props.onChange(readSizes(text, entry, known) ?? []);
	});
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
				props.onChange(readSizes(event.currentTarget.value, entry, known) ?? []);
			}}
			rightSection={<span className="entry-unit">{entry.unit}</span>}
			rightSectionWidth={Math.max(44, 22 + (entry.unit?.length ?? 0) * 9)}
			rightSectionPointerEvents="none"
		/>
	);
}

function readSizes(text: string, entry: Entry, known: readonly number[]): number[] | null {
	// A space parts two sizes, but not a size from a unit of its own: `2.5 gal, 1 qt`.
	const parts = text.split(/[,;]\s*|\s+(?=\d)/).filter((part) => part.trim() !== '');
	const sizes = parts.map((part) => {
		const same = known.find((size) => entry.write(size) === part.trim());
		return same === undefined ? entry.read(part) : ({ state: 'read', value: same } as const);
	});
	const good = sizes.flatMap((read) => (read.state === 'read' && read.value > 0 ? [read.value] : []));
	return good.length === parts.length && good.length > 0 ? [...new Set(good)] : null;
}
