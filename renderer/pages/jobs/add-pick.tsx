import { useEffect, useRef, useState } from 'react';
import { type Option, Pick } from '../../parts/pick.tsx';

/** Adds to a list by typing: each choice is added and the entry stands empty again. */
export function AddPick(props: {
	readonly label: string;
	readonly options: readonly Option[];
	readonly onAdd: (value: string) => void;
	readonly nothingFound: string;
	/** After a choice the next can be typed at once. */
	readonly goesOn?: boolean;
}) {
	const [added, setAdded] = useState(0);
	const frame = useRef<HTMLDivElement>(null);
	useEffect(() => {
		if (added > 0 && props.goesOn) frame.current?.querySelector('input')?.focus();
	}, [added, props.goesOn]);
	return (
		<div className="add-line" ref={frame}>
			<Pick
				key={added}
				label={props.label}
				placeholder="Type a name"
				options={props.options}
				value={null}
				onChange={(value) => {
					if (value === null) return;
					setAdded((before) => before + 1);
					props.onAdd(value);
				}}
				nothingFound={props.nothingFound}
			/>
		</div>
	);
}
