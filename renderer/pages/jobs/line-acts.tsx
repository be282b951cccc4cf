/** Moves one line of what a job covers earlier or later, and takes it out. */
export function LineActs(props: {
	readonly name: string;
	readonly first: boolean;
	readonly last: boolean;
	readonly onMove: (by: -1 | 1) => void;
	readonly onRemove: () => void;
}) {
	const { name, first, last, onMove, onRemove } = props;
	return (
		<td className="acts">
			<button type="button" className="act" aria-label={`${name} earlier`} disabled={first} onClick={() => onMove(-1)}>
				↑
			</button>
			<button type="button" className="act" aria-label={`${name} later`} disabled={last} onClick={() => onMove(1)}>
				↓
			</button>
			<button type="button" className="act" aria-label={`Take out ${name}`} onClick={onRemove}>
				×
			</button>
		</td>
	);
}
