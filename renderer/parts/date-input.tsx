import { ActionIcon, TextInput } from '@mantine/core';
import { type KeyboardEvent, type ReactNode, useEffect, useRef, useState } from 'react';
import { addDays } from '../../shared/basics/calendar.ts';
import { shortDate, today } from '../format.ts';
import { readDate } from './date-of-day.ts';

const EARLIEST = '1900-01-01';
const LATEST = '2199-12-31';

/**
 * A local date, written the same on every computer: `29 Nov 2026`. Keyed the day first in any form, a day on or back with the
 * arrow keys, or picked in the calendar. Empty is null, and so is what is no date.
 */
export function DateInput(props: {
	readonly label: ReactNode;
	readonly value: string | null;
	readonly onChange: (date: string | null) => void;
	readonly description?: ReactNode;
	readonly required?: boolean;
	readonly min?: string;
	readonly max?: string;
}) {
	const { value, min = EARLIEST, max = LATEST } = props;
	const [text, setText] = useState(written(value));
	const [touched, setTouched] = useState(false);
	const input = useRef<HTMLInputElement>(null);
	const calendar = useRef<HTMLInputElement>(null);
	const read = readDate(text, today(), props.max);
	const trouble = troubleOf(text, read, min, max);

	useEffect(() => input.current?.setCustomValidity(trouble), [trouble]);

	// biome-ignore lint/correctness/useExhaustiveDependencies: only a date set from outside replaces what is being typed
	useEffect(() => {
		if (value !== read) setText(written(value));
	}, [value]);

	function set(date: string): void {
		setText(written(date));
		props.onChange(date);
	}

	function step(event: KeyboardEvent): void {
		const days = { ArrowUp: 1, ArrowDown: -1 }[event.key];
		const next = days === undefined ? undefined : addDays(read ?? today(), read === null ? 0 : days);
		if (next === undefined) return;
		event.preventDefault();
		if (next >= min && next <= max) set(next);
	}

	return (
		<div className="date-input">
			<TextInput
				ref={input}
				label={props.label}
				description={props.description}
				required={props.required ?? false}
				autoComplete="off"
				maxLength={20}
				placeholder="day month year"
				value={text}
				error={touched && trouble !== '' ? trouble : undefined}
				onChange={(event) => {
					setText(event.currentTarget.value);
					props.onChange(readDate(event.currentTarget.value, today(), props.max));
				}}
				onKeyDown={step}
				onBlur={() => {
					setTouched(true);
					if (read !== null) setText(written(read));
				}}
				rightSection={
					<ActionIcon
						variant="subtle"
						tabIndex={-1}
						aria-label="Calendar"
						onClick={() => calendar.current?.showPicker()}
					>
						<CalendarMark />
					</ActionIcon>
				}
			/>
			<input
				ref={calendar}
				className="date-calendar"
				type="date"
				tabIndex={-1}
				aria-hidden="true"
				min={min}
				max={max}
				value={read ?? ''}
				onChange={(event) => event.currentTarget.value !== '' && set(event.currentTarget.value)}
			/>
		</div>
	);
}

function written(date: string | null): string {
	return date === null ? '' : shortDate(date);
}

function troubleOf(text: string, read: string | null, min: string, max: string): string {
	if (text.trim() === '') return '';
	if (read === null) return 'Write a date, such as 29 Nov 2026';
	if (read < min) return `Not before ${shortDate(min)}`;
	return read > max ? `Not after ${shortDate(max)}` : '';
}

function CalendarMark() {
	return (
		<svg
			width="18"
			height="18"
			viewBox="0 0 18 18"
			fill="none"
			stroke="currentColor"
			strokeWidth="1.5"
			aria-hidden="true"
		>
			<path d="M2.5 4.5h13v11h-13zM2.5 8h13M6 2.5v3.5M12 2.5v3.5" />
		</svg>
	);
}
