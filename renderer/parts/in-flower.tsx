import { TextInput } from '@mantine/core';
import { type ReactNode, useState } from 'react';
import { NOTHING_IN_FLOWER, saysNothing } from '../../shared/core/limits/flowering.ts';
import { Pick } from './pick.tsx';

const seen = [NOTHING_IN_FLOWER, 'crop', 'weeds', 'crop and weeds'] as const;
const ELSE = 'something else';
type Answer = (typeof seen)[number] | typeof ELSE;

const options = [
	{ value: NOTHING_IN_FLOWER, label: 'Nothing' },
	{ value: 'crop', label: 'The crop' },
	{ value: 'weeds', label: 'Weeds' },
	{ value: 'crop and weeds', label: 'The crop and weeds' },
	{ value: ELSE, label: 'Something else' },
] as const;

/** What was in flower on the ground: one of the usual answers, or in words. Empty: not answered, which is not "nothing". */
export function InFlower(props: {
	readonly value: string;
	readonly onChange: (value: string) => void;
	readonly description?: ReactNode;
}) {
	const { value, onChange } = props;
	const [answer, setAnswer] = useState<Answer | null>(() => answerOf(value));
	return (
		<>
			<Pick<Answer>
				label="In flower"
				description={props.description}
				placeholder="Not answered"
				clearable
				options={options}
				value={answer}
				onChange={(next) => {
					setAnswer(next);
					onChange(next ?? '');
				}}
			/>
			{answer === ELSE && (
				<TextInput
					label="What was in flower"
					maxLength={60}
					value={value === ELSE ? '' : value}
					onChange={(event) => onChange(event.currentTarget.value || ELSE)}
				/>
			)}
		</>
	);
}

function answerOf(value: string): Answer | null {
	const said = value.trim().toLowerCase();
	if (said === '') return null;
	if (saysNothing(said)) return NOTHING_IN_FLOWER;
	return seen.find((each) => each === said) ?? ELSE;
}
