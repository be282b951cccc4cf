import type { ReactNode } from 'react';
import { Pick } from './pick.tsx';

/** Whether something holds: yes, no, or not answered. */
export function HoldsPick(props: {
	readonly label: ReactNode;
	readonly description?: ReactNode;
	readonly value: boolean | null;
	readonly autoFocus?: boolean;
	readonly onChange: (holds: boolean | null) => void;
}) {
	const { label, description, value, onChange } = props;
	return (
		<Pick<'yes' | 'no'>
			label={label}
			description={description}
			placeholder="Not answered"
			clearable
			autoFocus={props.autoFocus ?? false}
			options={[
				{ value: 'yes', label: 'Yes' },
				{ value: 'no', label: 'No' },
			]}
			value={value === null ? null : value ? 'yes' : 'no'}
			onChange={(next) => onChange(next === null ? null : next === 'yes')}
		/>
	);
}
